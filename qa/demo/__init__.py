"""The demonstration job: an invented roof, told day by day as a crew would record it.

Read it in this order: `diary` is the pencil, `calendar` the days and their people; then the story:
`opening`, `supplies`, `survey`, `deck`, `edge_trims`, `bandage`, `porch`, `main_morning`,
`main_afternoon`, `topcoat`, `completion`, put together by `script`. `drawing` draws its pictures,
`ledger` takes its entries in, `made_folder` knows a folder that is complete, `making` does it all.

Firm, people, place, batches and figures are invented; pictures are drawn and say so.
"""
