"""The social card: one picture with name, verdict and the first figures. What goes out: PNG bytes."""

from partingline.publish.social.card import social_card

__all__ = ["social_card"]
