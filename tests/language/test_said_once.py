"""Language: what is kept of what was said."""

from explain.language import _, said_once, speaking


def test_words_are_kept_for_each_language_and_each_argument():
    asked = []

    @said_once(8)
    def said(name, *, loud):
        asked.append(name)
        return f"{_('Right lens')}: {name}{'!' if loud else ''}"

    def in_languages():
        for locale in ("en_US", "es_ES"):
            with speaking(locale):
                yield from (said("a", loud=True), said("a", loud=False), said("b", loud=False))

    first = list(in_languages())

    assert first[:3] == ["Right lens: a!", "Right lens: a", "Right lens: b"]
    assert len(set(first)) == 6
    assert list(in_languages()) == first
    assert asked == ["a", "a", "b"] * 2
