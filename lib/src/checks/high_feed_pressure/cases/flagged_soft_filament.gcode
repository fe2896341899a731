; very soft filament at 5 mm³/s
; expect: high-feed-pressure note
; tells: of 5.56
; Euler: π² × 15 MPa × 0.4604 mm⁴ / (0.7 × 5 mm)² = 5.56 N
; set: filament.material=tpu
; set: machine.melt_zone_mm=20
; set: filament.modulus_mpa=15
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
