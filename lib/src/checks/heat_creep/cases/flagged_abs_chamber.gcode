; ABS, which softens at 107.5 °C, in 95 °C
; expect: heat-creep note
; tells: 95 of 92.5 °C, count 1
; set: filament.material=abs
; set: machine.chamber_c=95
M83
G28
M140 S60
M109 S245
G1 Z0.3 F600
G1 X110 E4.15752 F2400
G1 X10 E4.15752
G1 X110 E4.15752
G1 X10 E4.15752
G1 X110 E4.15752
G1 X10 E4.15752
M104 S0
M140 S0
