"""Hashes kept: what is looked up thousands of times, and made of many parts, is hashed once."""

_KEPT = "_hash"


class HashedOnce:
    """A frozen dataclass's base: its fields are hashed at the first look-up. The hash stays in its process, where texts
    hash alike. The class itself says `__hash__ = HashedOnce.__hash__`, lest dataclass write one."""

    def __hash__(self) -> int:
        kept = self.__dict__.get(_KEPT)
        if kept is None:
            fields = self.__dataclass_fields__  # type: ignore[attr-defined]
            kept = self.__dict__[_KEPT] = hash(tuple(getattr(self, name) for name in fields))
        return kept

    def __getstate__(self) -> dict[str, object]:
        return {name: value for name, value in self.__dict__.items() if name != _KEPT}
