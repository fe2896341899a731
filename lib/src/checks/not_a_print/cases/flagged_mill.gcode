; expect: not-a-print error
( drill holes of the grafting jig )
G21 G90 G54
T1 M6
S9000 M3
G0 Z10
G0 X20 Y20
G1 Z-6 F200
G0 Z10
M5
M30
%
