%
:0044 (SHAFT END, ALU 6082, TYPE B)
(T2 ROUGH, T4 FINISH, T6 DRILL 20 SOLID CARBIDE, T8 GROOVE 3)
G21 G90 G95 G40
;^^^^^^^^^^^^^^ information: restart_relies_on_head
G92 S400
;   ^^^^ warning: speed_limit_odd
N10 T0202 (ROUGH)
G96 S700 M4
G0 X82. Z0 M8
G1 X-1.6 F.25
G0 X78. Z1.
G1 Z-120. F.4
X82. F1.
G0 Z1.
X74.
G1 Z-118. F4.
;         ^^^ warning: feed_too_large_by_revolution
X79. F1.
G0 X150. Z80.
M1
N20 T0405 (FINISH)
;   ^^^^^ warning: offset_of_another_tool
G97 S1100 M4
;   ^^^^^ warning: speed_unlike_tool
G0 X72. Z1.
G1 X73.99 Z-1. F.12
Z-118.
X80.
G0 X150. Z80.
M1
N30 T0606
G97 S4000 M4
;         ^^ warning: spindle_direction_unlike_rest
G0 X0 Z3.
G83 Z-60. R1. Q20000 F.035
;                    ^^^^^ warning: feed_unlike_cut
G80
G0 X150. Z80.
M1
N40 T0808
G97 S1500 M4
G0 X75. Z-20.
G1 X68. F.6
;       ^^^ warning: feed_unlike_cut
G4 X.2
G1 X76. F1.
G0 X150. Z80.
M1
N50 T0202 (CHAMFER)
G96 S700 M4
G0 X70. Z1.
G1 X74. Z-1. F.1
X76.
G0 X150. Z80.
M9
M5
M30
%
