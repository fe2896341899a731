; one small part at 232 °C: filament moves 20 mm in seven minutes
; expect: heat-creep note
; set: filament.material=pla
; set: machine.e_unit=mm
M83
G28
M140 S60
M109 S232
G1 Z0.3 F600
G1 X110 E3 F90
G1 X10 E3
G1 X110 E3
G1 X10 E3
G1 X110 E3
G1 X10 E3
G1 X110 E3
G1 X10 E3
G1 X110 E3
G1 X10 E3
G1 X110 E3
G1 X10 E3
G1 X110 E3
G1 X10 E3
G1 X110 E3
G1 X10 E3
G1 X110 E3
G1 X10 E3
G1 X110 E3
G1 X10 E3
G1 X110 E3
G1 X10 E3
G1 X110 E3
M104 S0
M140 S0
