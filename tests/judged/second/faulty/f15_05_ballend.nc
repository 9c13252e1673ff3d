%
o0055 (ball knob)
g21 g40 g99
(rough d32 bar)
g28 u0 w0
t0101
g50 s3000
g96 s180 m3
g0 x36. z3. m8
g1 z0 f.3
x-1.6 f.15
g0 z2.
x34.
g71 u1.5 r.5
g71 p10 q20 u.6 w.1 f.25
n10 g0 g42 x0
g1 z0 f.1
g3 x28. z-14. i0 k14.
g1 z-30.
n20 g40 x34.
g0 x36. z3.
g28 u0 w0 m9
m1
(finish)
t0303
g50 s3500
g96 s230 m3
g0 x34. z2. m8
g70 p10 q20
g28 u0 w0 m9
m1
(neck, 4 wide tool, left corner)
t0505
g50 s2000
g96 s100 m3
g0 x34. z-24. m8
g1 x18. f.07
g0 x34.
z-27.
g1 x18.
g0 x34.
g28 u0 w0 m9
m5
m30
%
