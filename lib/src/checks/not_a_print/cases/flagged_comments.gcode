; expect: not-a-print error
; the job was empty when it was sliced
