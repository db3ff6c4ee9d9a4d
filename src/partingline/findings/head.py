"""What is known of a rule before it judges."""

from dataclasses import dataclass

from partingline.model import Citation


@dataclass(frozen=True, slots=True)
class RuleHead:
    """`id` is `group.name` and never changes; `claim` is one sentence that is true of a unit that meets the rule."""

    id: str
    claim: str
    source: Citation

    @property
    def group(self) -> str:
        """The folder that the rule lives in."""
        return self.id.partition(".")[0]
