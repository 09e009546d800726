"""Command lines that work, for the foot of every help page."""

from __future__ import annotations

EXAMPLES: dict[str, tuple[str, ...]] = {
    "appraise": (
        "appraise demo",
        "appraise value sample_cases/renewed_grand.toml",
    ),
    "appraise open": ("appraise open grand.toml", "appraise open --lines grand.toml"),
    "appraise new": (
        "appraise new grand.toml",
        "appraise new grand.toml --kind grand --maker Ostravell --year 1925/1931",
    ),
    "appraise demo": ("appraise demo practice", "appraise demo --tour"),
    "appraise look": (
        "appraise look grand.toml",
        "appraise look grand.toml structure=2 soundboard=3 pin_block=2.5 hammers=4",
    ),
    "appraise value": (
        "appraise value grand.toml",
        "appraise value grand.toml --basis auction --date 2026-11-20 --json",
        "appraise value grand.toml --tables our_tables",
    ),
    "appraise missing": ("appraise missing grand.toml",),
    "appraise rank": (
        "appraise rank trade_in --kind grand --above 5000 --sort margin",
        "appraise rank trade_in --csv rank.csv --jsonl rank.jsonl",
        "appraise rank --why one.toml other.toml",
    ),
    "appraise loss": (
        "appraise loss before.toml after.toml -o loss.md",
        "appraise loss before.toml after.toml --sum-insured 15000 --excess 250",
    ),
    "appraise why": (
        "appraise why grand.toml",
        "appraise why grand.toml station.soundboard.depreciation --depth 2",
    ),
    "appraise report": ("appraise report grand.toml -o report.md",),
    "appraise photos": (
        "appraise photos grand.toml",
        "appraise photos grand.toml --hash",
    ),
    "appraise check": ("appraise check *.toml",),
    "appraise measure": ("appraise measure wood --rh 45 --to-rh 25 --width 1400",),
    "appraise measure sample": ("appraise measure sample --check downweight_grand A4=52 C2=58 C6=46",),
    "appraise measure touch": ("appraise measure touch --down A4=50 C2=58 C6=46 --up A4=26 C2=30 C6=24",),
    "appraise measure regulation": ("appraise measure regulation --of key_dip A4=10 C2=10.5 C6=9.8",),
    "appraise measure torque": (
        "appraise measure torque --of treble/1 1=7.4 2=6.8 3=4.1",
        "appraise measure torque --units inch --of treble/1 1=65 2=60 3=36",
    ),
    "appraise measure dampers": ("appraise measure dampers --ring A4=0.4 C2=0.9 C5=0.2",),
    "appraise measure string": (
        "appraise measure string --note A4 --length 40cm --diameter 1.0 --strings 3",
        "appraise measure string --scale scale.csv",
    ),
    "appraise measure wood": (
        "appraise measure wood --rh 45 --to-rh 25 --width 1400",
        "appraise measure wood --log room.csv",
    ),
    "appraise measure beats": ("appraise measure beats A3 --flat 4",),
    "appraise measure pitch": ("appraise measure pitch log.csv",),
    "appraise measure dating": ("appraise measure dating copper_dull --made 1931",),
    "appraise measure drying": ("appraise measure drying --case grand.toml",),
    "appraise sales": (
        "appraise sales add grand.toml --sold 11500 --on 2026-11-25 --as auction",
        "appraise sales list",
    ),
    "appraise sales add": (
        "appraise sales add grand.toml --sold 11500 --on 2026-11-25 --as auction",
        "appraise sales add --kind upright --new 9800 --sold 3200 --on 2026-10-02",
    ),
    "appraise sales import": ("appraise sales import sold.csv --currency EUR --try",),
    "appraise sales list": ("appraise sales list --newest 20",),
    "appraise sales like": ("appraise sales like grand.toml", "appraise sales like grand.toml --take 1"),
    "appraise sales learn": ("appraise sales learn", "appraise sales learn --take learned"),
    "appraise sales score": ("appraise sales score --svg score.svg",),
    "appraise sales share": ("appraise sales share postgresql://server/firm",),
    "appraise sales export": ("appraise sales export book.csv",),
    "appraise sales correct": ("appraise sales correct 2 --sold 3100 --grade 3.5",),
    "appraise sales strike": (
        "appraise sales strike 1 --why duplicate",
        "appraise sales strike 1 --undo",
    ),
    "appraise sales check": ("appraise sales check",),
    "appraise lives": ("appraise lives sample_cases", "appraise lives cases --take learned"),
    "appraise settings": ("appraise settings",),
    "appraise sources": (
        "appraise sources",
        "appraise sources remedies --json",
    ),
    "appraise guide": ("appraise guide", "appraise guide reports", "appraise guide --man > appraise.1"),
    "appraise schema": ("appraise schema case > case.schema.json",),
    "appraise completion": (
        "appraise completion bash > ~/.local/share/bash-completion/completions/appraise",
        "appraise completion zsh > ~/.zfunc/_appraise",
        "appraise completion fish > ~/.config/fish/completions/appraise.fish",
    ),
}
"""The words that call a command → what may be typed."""


def epilog(prog: str) -> str:
    """Return the foot of a help page; empty where there is none."""
    lines = EXAMPLES.get(prog, ())
    return "\n".join(("examples:" if len(lines) > 1 else "example:", *(f"  {line}" for line in lines))) if lines else ""
