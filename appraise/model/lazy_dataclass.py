"""Declares dataclasses whose methods are not compiled before they are worth it.

The standard library compiles six methods of every frozen class as soon as it is declared. There are hundreds of
classes, and a command makes a few instances of some of them. Its decorator still says which fields there are;
equality, hash, text, `replace` and pickling are the same, and a class that is much used gets its own `__init__`.
"""

from __future__ import annotations

import dataclasses
from operator import attrgetter
from reprlib import recursive_repr
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable
    from dataclasses import dataclass as dataclass
else:

    def dataclass(cls: type | None = None, /, **options: bool) -> Callable[[type], type] | type:
        """Declare a dataclass as `dataclasses.dataclass` does, with the options that this package uses."""
        return _declared(cls, **options) if cls is not None else lambda each: _declared(each, **options)


MANY = 64
"""Instances of a class from which compiling its `__init__` is worth the time."""


def _declared(
    cls: type,
    *,
    frozen: bool = False,
    slots: bool = False,
    eq: bool = True,
    order: bool = False,
    kw_only: bool = False,
) -> type:
    if order or not frozen:
        return dataclasses.dataclass(cls, frozen=frozen, slots=slots, eq=eq, order=order, kw_only=kw_only)
    own = set(vars(cls))
    made: Any = dataclasses.dataclass(cls, init=False, repr=False, eq=False, slots=slots, kw_only=kw_only)
    methods = {"__init__": _init(made), "__repr__": _text, **_guards(made)}
    if eq:
        methods |= _compared(made)
    if slots:
        methods |= {"__getstate__": _state, "__setstate__": _restore}
    for name, method in methods.items():
        if name not in own:
            setattr(made, name, method)
    return made  # type: ignore[no-any-return]


def _init(made: Any) -> Callable[..., None]:  # noqa: ANN401 - any dataclass
    """Return an `__init__` that goes from field to field, and gives way to the compiled one in time."""
    calls = 0
    fields: tuple[dataclasses.Field[Any], ...] = ()
    by_place: list[str] = []

    def __init__(self: object, *args: object, **named: Any) -> None:  # noqa: ANN401, N807
        nonlocal calls, fields, by_place
        if not calls:
            fields = dataclasses.fields(made)
            by_place = [field.name for field in fields if not field.kw_only]
        calls += 1
        given = len(named)
        named.update(zip(by_place, args, strict=False))
        wrong = len(args) > len(by_place) or len(named) != given + len(args)
        for field in fields if not wrong else ():
            if field.name not in named:
                if field.default is not dataclasses.MISSING:
                    named[field.name] = field.default
                elif field.default_factory is not dataclasses.MISSING:
                    named[field.name] = field.default_factory()
                else:
                    break
        if calls >= MANY or wrong or len(named) != len(fields):
            # Of what does not fit the compiled one says so, in the words of Python.
            compiled = _compiled(made, fields)
            made.__init__ = compiled
            compiled(self, *args, **{name: named[name] for name in list(named)[:given]})
            return
        put = object.__setattr__
        for field in fields:
            put(self, field.name, named[field.name])
        if hasattr(made, "__post_init__"):
            self.__post_init__()  # type: ignore[attr-defined]

    return __init__


def _compiled(made: Any, fields: tuple[dataclasses.Field[Any], ...]) -> Callable[..., None]:  # noqa: ANN401
    """Return an `__init__` with these fields as its parameters."""
    known: dict[str, Any] = {"put_": object.__setattr__, "missing_": dataclasses.MISSING}
    plain: list[str] = []
    named: list[str] = []
    body: list[str] = []
    for field in fields:
        name, value = field.name, field.name
        taken = name
        if field.default is not dataclasses.MISSING:
            known[f"default_{name}_"], taken = field.default, f"{name}=default_{name}_"
        elif field.default_factory is not dataclasses.MISSING:
            known[f"make_{name}_"], taken = field.default_factory, f"{name}=missing_"
            value = f"make_{name}_() if {name} is missing_ else {name}"
        (named if field.kw_only else plain).append(taken)
        body.append(f"    put_(self, {name!r}, {value})")
    if hasattr(made, "__post_init__"):
        body.append("    self.__post_init__()")
    taken = ", ".join(["self", *plain, *(["*", *named] if named else [])])
    exec("\n".join([f"def __init__({taken}):", *(body or ["    pass"])]), known)  # noqa: S102 - names of our own fields
    method: Callable[..., None] = known["__init__"]
    method.__qualname__ = f"{made.__qualname__}.__init__"
    return method


@recursive_repr()
def _text(self: Any) -> str:  # noqa: ANN401
    shown = (f"{field.name}={getattr(self, field.name)!r}" for field in dataclasses.fields(self) if field.repr)
    return f"{type(self).__qualname__}({', '.join(shown)})"


def _compared(made: Any) -> dict[str, Callable[..., Any]]:  # noqa: ANN401
    """Return equality and hash: those of the tuple of the fields."""
    fields = dataclasses.fields(made)
    looked_at = [field.name for field in fields if field.compare]
    hashed = [field.name for field in fields if (field.compare if field.hash is None else field.hash)]
    values = _values(looked_at)
    key = values if hashed == looked_at else _values(hashed)

    def __eq__(self: object, other: object) -> bool:  # noqa: N807
        if other.__class__ is not made or self.__class__ is not made:
            return NotImplemented
        return bool(values(self) == values(other))

    def __hash__(self: object) -> int:  # noqa: N807
        return hash(key(self))

    return {"__eq__": __eq__, "__hash__": __hash__}


def _values(names: list[str]) -> Callable[[object], object]:
    """Return what reads these attributes of an object; of one alone its value, of none the same for all."""
    return attrgetter(*names) if names else lambda _: ()


def _guards(made: Any) -> dict[str, Callable[..., None]]:  # noqa: ANN401
    names = frozenset(made.__dataclass_fields__)

    def __setattr__(self: object, name: str, value: object) -> None:  # noqa: N807
        if type(self) is made or name in names:
            raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")
        super(made, self).__setattr__(name, value)

    def __delattr__(self: object, name: str) -> None:  # noqa: N807
        if type(self) is made or name in names:
            raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")
        super(made, self).__delattr__(name)

    return {"__setattr__": __setattr__, "__delattr__": __delattr__}


def _state(self: Any) -> list[object]:  # noqa: ANN401
    return [getattr(self, field.name) for field in dataclasses.fields(self)]


def _restore(self: Any, state: list[object]) -> None:  # noqa: ANN401
    for field, value in zip(dataclasses.fields(self), state, strict=True):
        object.__setattr__(self, field.name, value)
