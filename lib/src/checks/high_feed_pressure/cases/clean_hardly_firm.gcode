; 101 MPa is no soft filament
; set: filament.material=tpu
; set: machine.melt_zone_mm=20
; set: checks.high-feed-pressure.unsupported_mm=20
; set: filament.modulus_mpa=101
M83
G28
M140 S60
M109 S225
G1 Z0.3 F600
G1 X110 E4.15752 F1200
G1 X10 E4.15752
G1 X110 E4.15752
G1 X10 E4.15752
G1 X110 E4.15752 F3000
G1 X10 E4.15752
G1 X110 E4.15752
G1 X10 E4.15752
G1 X110 E4.15752
G1 X10 E4.15752
G1 X110 E4.15752
G1 X10 E4.15752
M104 S0
M140 S0
; skips: nobody stated what the drive can push
