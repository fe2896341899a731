; expect: low-travel warning
; tells: count 12
; seven layers: twelve times
; pins of a grafting jig in an order that drives through those that stand already
G21
G90
M83
M140 S60
M104 S210
G28
M190 S60
M109 S210
G0 Z0.3 F9000
; outer perimeter
G0 X32.8 Y20
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X26.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X38.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X20.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X44.8 F9000
G3 I-0.8 J0 E0.24176 F1800
G0 Z0.6 F9000
; outer perimeter
G0 X32.8
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X26.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X38.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X20.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X44.8 F9000
G3 I-0.8 J0 E0.24176 F1800
G0 Z0.9 F9000
; outer perimeter
G0 X32.8
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X26.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X38.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X20.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X44.8 F9000
G3 I-0.8 J0 E0.24176 F1800
G0 Z1.2 F9000
; outer perimeter
G0 X32.8
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X26.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X38.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X20.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X44.8 F9000
G3 I-0.8 J0 E0.24176 F1800
G0 Z1.5 F9000
; outer perimeter
G0 X32.8
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X26.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X38.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X20.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X44.8 F9000
G3 I-0.8 J0 E0.24176 F1800
G0 Z1.8 F9000
; outer perimeter
G0 X32.8
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X26.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X38.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X20.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X44.8 F9000
G3 I-0.8 J0 E0.24176 F1800
G0 Z2.1 F9000
; outer perimeter
G0 X32.8
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X26.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X38.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X20.8 F9000
G3 I-0.8 J0 E0.24176 F1800
; outer perimeter
G0 X44.8 F9000
G3 I-0.8 J0 E0.24176 F1800
