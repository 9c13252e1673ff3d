%
o1900 (thumb screw m8)
(brass 25)
g21 g40 g99
g0 x150. z150.
t0101 (turn)
g97 s1800 m3
g0 x27. z0 m8
g1 x-1. f.12
g0 z1.
x24.6
g1 z-34. f.2
g0 x26. z1.
x21.
g1 z-19.9
g0 u1. z1.
x18.
g1 z-19.9
g0 u1. z1.
x15.
g1 z-19.9
g0 u1. z1.
x12.
g1 z-19.9
g0 u1. z1.
x9.5
g1 z-19.9
g0 u1. z1.
x8.3
g1 z-19.9
g0 u1. z1.
x3.9
g1 x7.9 z-1. f.08
z-20.
x22.6
x24.6 z-21.
x26. f.2
g0 x150. z150.
t0505 (groove 2.0)
g97 s1500 m3
g0 x26. z2. m8
z-19.7
x10.
g1 x6.3 f.05
g0 x10.
g1 z-20. f.2
x6.2 f.05
z-19.7
g0 x26.
x150. z150.
t0707 (thread)
g97 s900 m3
g0 x12. z5. m8
x7.5
g32 z-18.8 f1.25
g0 x12.
z5.
x7.15
g32 z-18.8
g0 x12.
z5.
x6.9
g32 z-18.8
g0 x12.
z5.
x6.7
g32 z-18.8
g0 x12.
z5.
x6.55
g32 z-18.8
g0 x12.
z5.
x6.467
g32 z-18.8
g0 x12.
z5.
x150. z150.
t0909 (knurl 1.0)
g97 s300 m3
g0 x28. z-23. m8
g1 x24. f.1
z-33. f.3
g0 x40.
x150. z150.
t0808 (part off 3.0)
g97 s1500 m3
g0 x29. z-33. m8
g1 x21. f.06
g0 x26.6
z-31.
g1 x22.6 z-33.
x-6.
g0 x40. m9
x150. z150.
m5
m30
%
