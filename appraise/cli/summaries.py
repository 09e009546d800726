"""Every command with what it does, in the order that help lists them: the one place that says it."""

COMMANDS = {
    "open": "open the worksheet: on a case, or on the cases of this folder",
    "new": "begin a case file",
    "demo": "copy the sample cases to a folder and open the worksheet on them",
    "look": "grade parts at a quick look: preliminary until a check of the part is made",
    "missing": "list what is missing before a case is handed over, and where it is entered",
    "value": "value a case: range, depreciation by station, work needed now, remaining life, what to check next",
    "rank": "set trade-in candidates side by side: resale, work, margin, the highest offer, its risk",
    "loss": "compare one instrument before and after a move, and work out the loss",
    "why": "show the reasons for a figure, down to table rows and sources",
    "report": "write the report of a case as PDF, HTML, Markdown or JSON",
    "check": "list every problem of a case file; compute a report in JSON again",
    "photos": "list the photos and papers of a case, whether they have changed, and photos not used",
    "measure": "one measurement alone: from readings to grades, diagnoses and remaining life",
    "sales": "the book of your own sales: enter and import them, learn from them, score past valuations",
    "lives": "how long parts last in your cases, compared with the tables; --take writes the rows",
    "settings": "show where the settings file is and the settings in force; the defaults if there is none",
    "sources": "show the reference tables with source and standing of every row",
    "guide": "print the guide: its topics, or one of them",
    "schema": "print the JSON Schema of the case file, or of a command's JSON",
    "completion": "print what a shell needs to complete commands, options and case files",
}
