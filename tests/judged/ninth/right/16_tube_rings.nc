o1600
(brass rings 50/38 x 6 from tube, 5 pieces, tube stands out 60)
g21 g40 g99
g97 s1200
t0101
m3
g0 x54. z1.
g1 z0. f.5
x36. f.12
g0 z1.
x47.5
g1 z.25 f.2
x50.5 z-1.25 f.1
g0 x100. z50.
m1
t0303 (3 wide, left corner, comes back out of the slot on the way)
g97 s1100 m3
g0 x54. z0.
m98 p1601 l5
g0 x100. z50.
m5
m30
o1601
g0 w-9.
g1 u-7. f.07
g0 u7.
w1.25
g1 u-2.5 f.1
u-2.5 w-1.25 f.05
u-.5
g0 u5.5
g0 u-6.5
g1 u-4. f.07
g0 u3.
g1 u-2.8 f.4
g1 u-6.1 f.04
g4 u.2
g0 u16.4
m99
