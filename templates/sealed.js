// Opens a sealed page with the key behind the # of its link. The key stays in this browser: no part of it is sent.
// The address line keeps the key, as #KEY or #KEY/part, so that reloading, going back and a bookmark open the page again.
"use strict";
const KEY_AND_PART = /^#([A-Za-z0-9_-]{43})(?:\/(.*))?$/;
const ADDRESS = /\/([a-z2-7]{32})(?:\/[^/]*)?$/;
const PURPOSE = "order-explainer sealed page 1\0";
let key = "";
function bytes(text) {
  return Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0));
}
function block() {
  return document.getElementById("sealed").textContent;
}
function say(state) {
  document.documentElement.dataset.state = state;
}
async function unsealed(typed) {
  const sealed = bytes(block());
  const raw = bytes(typed.replace(/-/g, "+").replace(/_/g, "/") + "=");
  const additionalData = new TextEncoder().encode(PURPOSE + ADDRESS.exec(location.pathname)[1]);
  const way = { name: "AES-GCM", iv: sealed.subarray(0, 12), additionalData };
  const opener = await crypto.subtle.importKey("raw", raw, "AES-GCM", false, ["decrypt"]);
  const filled = await crypto.subtle.decrypt(way, opener, sealed.subarray(12));
  const html = new TextDecoder().decode(new Uint8Array(filled, 4, new DataView(filled).getUint32(0)));
  // The policy of the closed page stays in force. It allows this script, and the style that carries its nonce.
  const styled = html.replace("<style>", `<style nonce="${block().slice(0, 16)}">`);
  const page = new DOMParser().parseFromString(styled, "text/html");
  for (const policy of page.querySelectorAll("meta[http-equiv]")) policy.remove();
  return page.documentElement;
}
async function openPage() {
  const found = KEY_AND_PART.exec(location.hash);
  if (!found) return say("missing");
  if (!window.crypto || !crypto.subtle) return say("unable");
  say("opening");
  let page = null;
  try {
    page = await unsealed(found[1]);
  } catch {
    return say("misfit");
  }
  if (key) return;
  key = found[1];
  document.documentElement.replaceWith(page);
  follow();
}
// A jump to a part goes the browser's own way, so that the part is the target; then the key is put back before it.
function follow() {
  const found = KEY_AND_PART.exec(location.hash);
  if (!key) openPage();
  else if (!found) history.replaceState(history.state, "", `#${key}${location.hash.replace("#", "/")}`);
  else if (found[1] !== key) location.reload();
  else if (found[2]) location.replace(`#${found[2]}`);
}
say("opening");
addEventListener("DOMContentLoaded", openPage);
addEventListener("hashchange", follow);
