; a bed of 70 °C in a closed housing of 38 °C
; expect: heat-creep note
; tells: 70 of 65 °C, count 1
; set: filament.material=pla
; set: machine.chamber_c=38
M83
G28
M140 S70
M109 S210
G1 Z0.3 F600
G1 X110 E4.15752 F2400
G1 X10 E4.15752
G1 X110 E4.15752
G1 X10 E4.15752
G1 X110 E4.15752
G1 X10 E4.15752
M104 S0
M140 S0
