"""The marking-out sheets of a kept cut plan: boards drawn to scale with lists to tick, on screens and on paper."""
