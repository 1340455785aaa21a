;; What is done to tones one by one, sixteen at a time. `npm run generate` makes generated/tones.ts of it. All work on `count`
;; tones at `at`, in whole steps of sixteen.
(module
  (memory (export "memory") 1)

  ;; Products of tones up to 255 · 255, rounded to the nearest 255th. None lies half-way, so adding 127 before the division rounds.
  (func $in255ths (param $products v128) (result v128)
    (local.set $products (i16x8.add (local.get $products) (i16x8.splat (i32.const 127))))
    (i16x8.shr_u
      (i16x8.add
        (i16x8.add (local.get $products) (i16x8.splat (i32.const 1)))
        (i16x8.shr_u (local.get $products) (i32.const 8)))
      (i32.const 8)))

  (func $product (param $a v128) (param $b v128) (result v128)
    (i8x16.narrow_i16x8_u
      (call $in255ths (i16x8.extmul_low_i8x16_u (local.get $a) (local.get $b)))
      (call $in255ths (i16x8.extmul_high_i8x16_u (local.get $a) (local.get $b)))))

  ;; A tone nearer to nothing than `dot` goes to nothing or to `dot`, whichever is nearer; nearer to solid likewise.
  (func (export "limit") (param $at i32) (param $dot i32) (param $count i32)
    (local $end i32) (local $dots v128) (local $least v128) (local $tones v128) (local $dark v128) (local $off v128)
    (local.set $end (i32.add (local.get $at) (local.get $count)))
    (local.set $dots (i8x16.splat (local.get $dot)))
    ;; Twice this is `dot` or more.
    (local.set $least (i8x16.splat (i32.shr_u (i32.add (local.get $dot) (i32.const 1)) (i32.const 1))))
    (loop $next
      (local.set $tones (v128.load (local.get $at)))
      (local.set $dark (i8x16.shr_s (local.get $tones) (i32.const 7)))
      (local.set $off (v128.xor (local.get $tones) (local.get $dark)))
      (v128.store
        (local.get $at)
        (v128.xor
          (v128.and
            (i8x16.max_u (local.get $off) (local.get $dots))
            (i8x16.ge_u (local.get $off) (local.get $least)))
          (local.get $dark)))
      (local.set $at (i32.add (local.get $at) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $at) (local.get $end)))))

  ;; What is left of tones once those at `holes` are taken out: tone · (1 − hole).
  (func (export "knockOut") (param $at i32) (param $holes i32) (param $count i32)
    (local $end i32)
    (local.set $end (i32.add (local.get $at) (local.get $count)))
    (loop $next
      (v128.store
        (local.get $at)
        (call $product (v128.load (local.get $at)) (v128.not (v128.load (local.get $holes)))))
      (local.set $at (i32.add (local.get $at) (i32.const 16)))
      (local.set $holes (i32.add (local.get $holes) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $at) (local.get $end)))))

  ;; What tones print together with those at `guests`: 1 − (1 − tone) · (1 − guest).
  (func (export "join") (param $at i32) (param $guests i32) (param $count i32)
    (local $end i32)
    (local.set $end (i32.add (local.get $at) (local.get $count)))
    (loop $next
      (v128.store
        (local.get $at)
        (v128.not
          (call $product (v128.not (v128.load (local.get $at))) (v128.not (v128.load (local.get $guests))))))
      (local.set $at (i32.add (local.get $at) (i32.const 16)))
      (local.set $guests (i32.add (local.get $guests) (i32.const 16)))
      (br_if $next (i32.lt_u (local.get $at) (local.get $end))))))
