"""Frozen dataclasses whose methods are written when they are first used: a start defines 150 of them, and makes half.

They do what `dataclasses.dataclass(frozen=True)` does, for plain fields; its helpers (`replace`, `fields`, `field`) work with them. The
library's own write six methods a class at once: 70 ms of the 580 that a start works until the big job of the bench is seen, and a cold
walk is some per cent slower with them. Slots change nothing there; a `NamedTuple` costs little more than these, where it does no harm.
"""

import dataclasses
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(*, frozen: bool) -> Callable[[type], type]:
        """What makes a frozen dataclass of a class; another kind is the standard library's."""
        if not frozen:
            raise TypeError("only frozen ones are made here")
        return _made_frozen


C = TypeVar("C", bound=type)


def _made_frozen(cls: C) -> C:
    own = dict(vars(cls))
    dataclasses.dataclass(init=False, repr=False, eq=False, frozen=dataclasses.is_dataclass(cls))(cls)
    cls.__dataclass_params__.frozen = True  # type: ignore[attr-defined]  # so that its heirs may be frozen by the library too
    for name, write in _WRITTEN.items():
        if own.get(name) is None:
            setattr(cls, name, _first_use(cls, name, write))
    for name, method in _SHARED.items():
        if name not in own:
            setattr(cls, name, method)
    return cls


def _first_use(cls: type, name: str, write: Callable[[type], Callable[..., Any]]) -> Callable[..., Any]:
    """A method that puts the written one in its place, and goes on as that."""

    def first(self: object, *args: object, **named: object) -> object:
        method = write(cls)
        setattr(cls, name, method)
        return method(self, *args, **named)

    return first


def _initial(cls: type) -> Callable[..., Any]:
    """`__init__`: a parameter a field, with the field's default."""
    known: dict[str, Any] = {"_set": object.__setattr__, "_factory": dataclasses.MISSING}
    heads, lines = ["self"], []
    for field in dataclasses.fields(cls):
        value = field.name
        if field.default_factory is not dataclasses.MISSING:
            known[f"_make_{field.name}"] = field.default_factory
            heads.append(f"{field.name}=_factory")
            value = f"_make_{field.name}() if {field.name} is _factory else {field.name}"
        elif field.default is not dataclasses.MISSING:
            known[f"_default_{field.name}"] = field.default
            heads.append(f"{field.name}=_default_{field.name}")
        else:
            heads.append(field.name)
        lines.append(f"_set(self, {field.name!r}, {value})")
    if hasattr(cls, "__post_init__"):
        lines.append("self.__post_init__()")
    return _written(cls, f"def __init__({', '.join(heads)}):", lines or ["pass"], known)


def _equal(cls: type) -> Callable[..., Any]:
    lines = ["if other.__class__ is self.__class__:", f" return {_values(cls, 'self')} == {_values(cls, 'other')}", "return NotImplemented"]
    return _written(cls, "def __eq__(self, other):", lines, {})


def _hashed(cls: type) -> Callable[..., Any]:
    return _written(cls, "def __hash__(self):", [f"return hash({_values(cls, 'self')})"], {})


def _values(cls: type, of: str) -> str:
    """The values that tell one from another, as a tuple."""
    return f"({''.join(f'{of}.{field.name}, ' for field in dataclasses.fields(cls) if field.compare)})"


def _written(cls: type, head: str, lines: list[str], known: dict[str, Any]) -> Callable[..., Any]:
    exec("\n".join([head, *(f" {line}" for line in lines)]), known)
    method: Callable[..., Any] = known[head.split("(")[0].removeprefix("def ")]
    method.__qualname__ = f"{cls.__qualname__}.{method.__name__}"
    method.__module__ = cls.__module__
    return method


def _shown(self: Any) -> str:
    values = (f"{field.name}={getattr(self, field.name)!r}" for field in dataclasses.fields(self) if field.repr)
    return f"{type(self).__qualname__}({', '.join(values)})"


def _not_set(_self: object, name: str, _value: object) -> NoReturn:
    raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")


def _not_deleted(_self: object, name: str) -> NoReturn:
    raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")


_WRITTEN = {"__init__": _initial, "__eq__": _equal, "__hash__": _hashed}
_SHARED = {"__repr__": _shown, "__setattr__": _not_set, "__delattr__": _not_deleted}
