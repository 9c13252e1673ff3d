%
o2121
g21 g40 g80 g90
n1
g91 g28 x0 z0
g90 g95
g92 s3000
t0101
g97 s900 m3
g0 x0 z5. m8
g1 z-3. f.08
g0 z50.
g91 g28 x0 z0 m9
g90
m1
n2
g90 g95
t0303
g97 s700 m3
g0 x0 z3. m8
g83 z-48. q60 f.16
g80
g0 z50.
g91 g28 x0 z0 m9
g90
m1
n3
g90 g95
g92 s2800
t0505
g96 s150 m3
g0 x17. z2. m8
g71 u1. r.3
g71 p30 q31 u-.4 w.1 f.18
n30 g0 g41 x32.
g1 z0 f.1
x30. z-1.
z-15.
g3 x26. z-17. r2.
g1 x24.
x22. z-18.
z-41.
n31 g40 x17.
g0 z50.
g91 g28 x0 z0 m9
g90
m1
n4
g90 g95
g92 s3200
t0707
g96 s190 m3
g0 x17. z2. m8
g70 p30 q31
g0 z50.
g91 g28 x0 z0 m9
g90
m5
m30
%
