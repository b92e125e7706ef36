// placeholder until the drafts are written in full
