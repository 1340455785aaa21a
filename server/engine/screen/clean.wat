;; Rows of single bits, moved and joined, 128 at a time. `npm run generate` makes generated/clean.ts of it.
;; A pixel's bit lies the higher in its byte the further left; all work in whole steps of sixteen bytes.
(module
  (memory (export "memory") 1)

  ;; The bits `k` (0–7) pixels to the right of those at `at`.
  (func $right (param $at i32) (param $k i32) (result v128)
    (v128.or
      (i8x16.shl (v128.load (local.get $at)) (local.get $k))
      (i8x16.shr_u
        (i8x16.shr_u (v128.load offset=1 (local.get $at)) (i32.const 1))
        (i32.sub (i32.const 7) (local.get $k)))))

  ;; The bits `k` (0–7) pixels to the left of those at `at`.
  (func $left (param $at i32) (param $k i32) (result v128)
    (v128.or
      (i8x16.shr_u (v128.load (local.get $at)) (local.get $k))
      (i8x16.shl
        (i8x16.shl (v128.load (i32.sub (local.get $at) (i32.const 1))) (i32.const 1))
        (i32.sub (i32.const 7) (local.get $k)))))

  ;; Keeps of `count` bytes at `to` what those at `a` and those `k` pixels to the right of `b` have both.
  (func (export "both") (param $to i32) (param $a i32) (param $b i32) (param $k i32) (param $count i32)
    (local $end i32)
    (local.set $end (i32.add (local.get $to) (local.get $count)))
    (loop $next
      (v128.store (local.get $to)
        (v128.and (v128.load (local.get $a)) (call $right (local.get $b) (local.get $k))))
      (local.set $to (i32.add (local.get $to) (i32.const 16)))
      (local.set $a (i32.add (local.get $a) (i32.const 16)))
      (local.set $b (i32.add (local.get $b) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $to) (local.get $end)))))

  ;; What those at `a` or those `k` pixels to the left of `b` have. From the end, so that `to` may be what is read from.
  (func (export "either") (param $to i32) (param $a i32) (param $b i32) (param $k i32) (param $count i32)
    (local.set $count (i32.sub (local.get $count) (i32.const 16)))
    (loop $next
      (v128.store (i32.add (local.get $to) (local.get $count))
        (v128.or
          (v128.load (i32.add (local.get $a) (local.get $count)))
          (call $left (i32.add (local.get $b) (local.get $count)) (local.get $k))))
      (local.set $count (i32.sub (local.get $count) (i32.const 16)))
      (br_if $next (i32.ge_s (local.get $count) (i32.const 0)))))

  ;; Of what those at `within` have, that which those at `of` have or touch: with `corners` 1 across corners too. Rows are
  ;; `stride` bytes apart. `to` is another place than `of`.
  (func (export "touched")
    (param $to i32) (param $of i32) (param $within i32) (param $stride i32) (param $corners i32) (param $count i32)
    (local $end i32)
    (local $row v128)
    (local $beside v128)
    (local.set $end (i32.add (local.get $to) (local.get $count)))
    (loop $next
      (local.set $row (v128.or
        (v128.load (i32.sub (local.get $of) (local.get $stride)))
        (v128.load (i32.add (local.get $of) (local.get $stride)))))
      (local.set $beside (v128.or (call $left (local.get $of) (i32.const 1)) (call $right (local.get $of) (i32.const 1))))
      (if (local.get $corners) (then
        (local.set $beside (v128.or (local.get $beside) (v128.or
          (v128.or
            (call $left (i32.sub (local.get $of) (local.get $stride)) (i32.const 1))
            (call $right (i32.sub (local.get $of) (local.get $stride)) (i32.const 1)))
          (v128.or
            (call $left (i32.add (local.get $of) (local.get $stride)) (i32.const 1))
            (call $right (i32.add (local.get $of) (local.get $stride)) (i32.const 1))))))))
      (v128.store (local.get $to)
        (v128.or
          (v128.load (local.get $of))
          (v128.and
            (v128.load (local.get $within))
            (v128.or (local.get $row) (local.get $beside)))))
      (local.set $to (i32.add (local.get $to) (i32.const 16)))
      (local.set $of (i32.add (local.get $of) (i32.const 16)))
      (local.set $within (i32.add (local.get $within) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $to) (local.get $end)))))

  ;; What those at `a` have and those at `b` have not; gives whether there is any.
  (func (export "without") (param $to i32) (param $a i32) (param $b i32) (param $count i32) (result i32)
    (local $end i32)
    (local $left v128)
    (local $any v128)
    (local.set $end (i32.add (local.get $to) (local.get $count)))
    (loop $next
      (local.set $left (v128.andnot (v128.load (local.get $a)) (v128.load (local.get $b))))
      (local.set $any (v128.or (local.get $any) (local.get $left)))
      (v128.store (local.get $to) (local.get $left))
      (local.set $to (i32.add (local.get $to) (i32.const 16)))
      (local.set $a (i32.add (local.get $a) (i32.const 16)))
      (local.set $b (i32.add (local.get $b) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $to) (local.get $end))))
    (v128.any_true (local.get $any)))

  ;; Turns `count` bytes at `at` into their complements; gives whether any bit is set then.
  (func (export "complement") (param $at i32) (param $count i32) (result i32)
    (local $end i32)
    (local $bits v128)
    (local $any v128)
    (local.set $end (i32.add (local.get $at) (local.get $count)))
    (loop $next
      (local.set $bits (v128.not (v128.load (local.get $at))))
      (local.set $any (v128.or (local.get $any) (local.get $bits)))
      (v128.store (local.get $at) (local.get $bits))
      (local.set $at (i32.add (local.get $at) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $at) (local.get $end))))
    (v128.any_true (local.get $any))))
