"""Write the texts of the gallery anew: `python -m tests.errors.refresh`. Then read what changed, aloud."""

from __future__ import annotations

import sys

from tests.errors.gallery import examples, message_of


def main() -> int:
    """Write every NAME.txt; say how many changed. Exit status 1 when a file gives no message at all."""
    silent, changed = [], 0
    for path in examples():
        text, kept = message_of(path), path.with_suffix(".txt")
        if not text:
            silent.append(path.name)
        if not kept.exists() or kept.read_text(encoding="utf-8") != text:
            kept.write_text(text, encoding="utf-8")
            changed += 1
    sys.stdout.write(f"{changed} texts written\n" + "".join(f"no message: {name}\n" for name in silent))
    return 1 if silent else 0


if __name__ == "__main__":
    raise SystemExit(main())
