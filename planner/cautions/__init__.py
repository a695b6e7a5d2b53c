"""What to mind at each step of the work, in short sentences with their source.

Nothing here clears anything: the machine's manual, the data sheets of glue and finish, local rules and, where they ask
for it, licensed hands come first. What belongs to one wood stands in ``planner.woods``; what belongs to one set-up of a
machine in ``planner.cutting.setups``.

words    the sentences, by what they are about
steps    which of them belong to which step, by what the board is for
"""

from planner.cautions.steps import STEPS, cautions_for_step, is_said_of_all, step_of_wood_caution
from planner.cautions.words import WORDS, caution_of
from planner.woods import Caution

__all__ = ["STEPS", "WORDS", "Caution", "caution_of", "cautions_for_step", "is_said_of_all", "step_of_wood_caution"]
