; TPU stays stiff far above its glass transition
; set: filament.material=tpu
; set: machine.chamber_c=45
M83
G28
M140 S60
M109 S225
G1 Z0.3 F600
G1 X110 E4.15752 F2400
G1 X10 E4.15752
G1 X110 E4.15752
G1 X10 E4.15752
G1 X110 E4.15752
G1 X10 E4.15752
M104 S0
M140 S0
