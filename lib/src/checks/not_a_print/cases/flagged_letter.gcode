; expect: not-a-print error
Dear orchard friends,
please print forty row labels for the new plum trees before Friday.
The market vase can wait.
Many thanks from the bench
