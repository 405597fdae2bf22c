"""The only writers of the trade's rows. One file per part of the job, each public function one verb.

Each action is one transaction: checks that the move is allowed, writes the rows, appends the journal.
"""
