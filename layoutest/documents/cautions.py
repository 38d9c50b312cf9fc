"""The cautions that every document shows."""

CAUTIONS = (
    "Old lagging may hold asbestos: stop and have it surveyed before disturbing it.",
    "Isolate and let hot pipework cool.",
    "Mineral wool dust: mask, gloves, eye protection. Knives, work at height.",
    "Fire stopping at penetrations needs a tested system and a competent installer.",
    "Cold pipes need an unbroken vapour barrier.",
    "Covering only delays freezing: standing water needs draining or trace heating.",
    "Figures are an estimating aid: local codes, the specification and a licensed practitioner decide.",
)
