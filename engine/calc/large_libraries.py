"""numpy and shapely, imported when something of them is first used: the first screen is painted without them, 45 ms sooner.

What is imported for that screen takes them from here: `from engine.calc.large_libraries import np, shapely`. Types of arrays have their
names here; one of shapely stands in quotes, for to look it up as a function is made would be to use it.
"""

import sys
from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    import shapely
    import shapely.ops
    from numpy.typing import ArrayLike, NDArray

    Floats = NDArray[np.float64]
    Ints = NDArray[np.int64]
    Bools = NDArray[np.bool_]
    Indices = NDArray[np.intp]
else:

    class OnceUsed(ModuleType):
        """A library, once something of it is asked for."""

        def __getattr__(self, name: str) -> object:
            for module in LIBRARIES[self.__name__]:
                import_module(module)
            vars(self).update(vars(sys.modules[self.__name__]))
            self.__class__ = ModuleType
            return getattr(self, name)

    LIBRARIES = {"numpy": ("numpy",), "shapely": ("shapely", "shapely.ops")}
    np, shapely = map(OnceUsed, LIBRARIES)
    ArrayLike = NDArray = Floats = Ints = Bools = Indices = Any

__all__ = ["ArrayLike", "Bools", "Floats", "Indices", "Ints", "NDArray", "np", "shapely"]
