"""How a form looks."""

LOOK = """
FormScreen .head { height: 1; background: $panel; text-style: bold; }
FormScreen #fields { height: 1fr; padding: 0 1; }
FormScreen .field { height: auto; }
FormScreen .row { height: 1; }
FormScreen .label { width: 22; text-align: right; padding: 0 2 0 0; }
FormScreen PickInput { width: 1fr; max-width: 70; background: $surface; }
FormScreen PickInput:focus { background: $panel; text-style: bold; }
FormScreen .wrong { display: none; height: auto; padding: 0 0 0 22; color: $fix; text-style: bold; }
FormScreen .wrong.-shown { display: block; }
FormScreen #hint { height: 3; padding: 0 1; color: $muted; }
FormScreen #said { height: auto; max-height: 3; padding: 0 1; background: $surface; }
"""
