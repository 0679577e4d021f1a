; Bit-angle modulation on all port pins. Timer 1 runs with a period of 4000 cycles; three fixed interrupts start the
; slots. Slots 0 to 4 and the start of slot 5 are one stretch of counted cycles after the overflow; compare A starts
; slot 6 and compare B slot 7. All three reach their first port write after the same number of cycles, so that the
; entry time cancels out of every slot. Loads and port writes leave the flags alone; the status register is saved
; only where the flags change.
;
; GPIOR0: low address of the pattern shown. GPIOR1: low address of the pattern to show from the next tick, 0 = none.
; GPIOR2: number of the frame within the tick, 0 to 3.
; A tick that becomes due forbids sleep (idle sleep is mode 0 of both controllers, all else in that register is 0).

#define __SFR_OFFSET 0
#include <avr/io.h>
#include "layout.h"

#if PORTS == 3
#define OUT_0 PORTB
#define OUT_1 PORTC
#define OUT_2 PORTD
#define SLEEP_CONTROL SMCR
#else
#define OUT_0 PORTA
#define OUT_1 PORTB
#define SLEEP_CONTROL MCUCR
#define TIMER1_OVF_vect TIM1_OVF_vect
#define TIMER1_COMPA_vect TIM1_COMPA_vect
#define TIMER1_COMPB_vect TIM1_COMPB_vect
#endif

.section .text

; Starts slot \n: START_CYCLES from the first load to the last port write.
.macro start_slot n
	ldd	r24, Z+PORTS*\n
	out	_SFR_IO_ADDR(OUT_0), r24
	ldd	r24, Z+PORTS*\n+1
	out	_SFR_IO_ADDR(OUT_1), r24
#if PORTS == 3
	ldd	r24, Z+PORTS*\n+2
	out	_SFR_IO_ADDR(OUT_2), r24
#endif
.endm

; Passes exactly \cycles cycles (4 or more); changes r24 and the flags.
.macro pass cycles
	ldi	r24, (\cycles) / 3
1:	dec	r24
	brne	1b
	.rept	(\cycles) % 3
	nop
	.endr
.endm

; 8 cycles, the same in all three interrupts.
.macro enter
	push	r24
	push	r30
	push	r31
	in	r30, _SFR_IO_ADDR(GPIOR0)
	ldi	r31, hi8(patterns)
.endm

.macro leave
	pop	r31
	pop	r30
	pop	r24
	reti
.endm

.global TIMER1_OVF_vect
TIMER1_OVF_vect:
	enter
	start_slot 0
	in	r24, _SFR_IO_ADDR(SREG)
	push	r24
	.rept	SLOT_0 - START_CYCLES - 3
	nop
	.endr
	start_slot 1
	pass	SLOT_1 - START_CYCLES
	start_slot 2
	pass	SLOT_2 - START_CYCLES
	start_slot 3
	pass	SLOT_3 - START_CYCLES
	start_slot 4
	pass	SLOT_4 - START_CYCLES
	start_slot 5
	in	r24, _SFR_IO_ADDR(GPIOR2)
	inc	r24
	andi	r24, FRAMES_PER_TICK - 1
	out	_SFR_IO_ADDR(GPIOR2), r24
	brne	2f
	lds	r24, ticks_due
	inc	r24
	sts	ticks_due, r24
	ldi	r24, 0
	out	_SFR_IO_ADDR(SLEEP_CONTROL), r24
2:	pop	r24
	out	_SFR_IO_ADDR(SREG), r24
	leave

.global TIMER1_COMPA_vect
TIMER1_COMPA_vect:
	enter
	start_slot 6
	leave

; In the last frame of a tick slot 7 is the moment to change over: its pattern is out, the next frame has not begun.
.global TIMER1_COMPB_vect
TIMER1_COMPB_vect:
	enter
	start_slot 7
	in	r24, _SFR_IO_ADDR(SREG)
	push	r24
	in	r24, _SFR_IO_ADDR(GPIOR2)
	cpi	r24, FRAMES_PER_TICK - 1
	brne	3f
	in	r24, _SFR_IO_ADDR(GPIOR1)
	tst	r24
	breq	3f
	out	_SFR_IO_ADDR(GPIOR0), r24
	ldi	r24, 0
	out	_SFR_IO_ADDR(GPIOR1), r24
3:	pop	r24
	out	_SFR_IO_ADDR(SREG), r24
	leave

; void build_patterns(uint8_t *pattern): eight slots × the ports from the codes in `drives`, port by port.
; The eight slot bytes of a port stand in r16 … r23; each channel adds its pin to the slots of its set bits.
.global build_patterns
build_patterns:
	push	r16
	push	r17
	push	r28
	push	r29
	movw	r30, r24
	ldi	r26, lo8(drives)
	ldi	r27, hi8(drives)
	ldi	r28, lo8(ports)
	ldi	r29, hi8(ports)
4:	ld	r16, Y+
	mov	r17, r16
	mov	r18, r16
	mov	r19, r16
	mov	r20, r16
	mov	r21, r16
	mov	r22, r16
	mov	r23, r16
	ld	r24, Y+
	tst	r24
	breq	6f
5:	ld	r25, X+
	ld	r0, X+
	sbrc	r25, 0
	or	r16, r0
	sbrc	r25, 1
	or	r17, r0
	sbrc	r25, 2
	or	r18, r0
	sbrc	r25, 3
	or	r19, r0
	sbrc	r25, 4
	or	r20, r0
	sbrc	r25, 5
	or	r21, r0
	sbrc	r25, 6
	or	r22, r0
	sbrc	r25, 7
	or	r23, r0
	dec	r24
	brne	5b
6:	st	Z, r16
	std	Z+1*PORTS, r17
	std	Z+2*PORTS, r18
	std	Z+3*PORTS, r19
	std	Z+4*PORTS, r20
	std	Z+5*PORTS, r21
	std	Z+6*PORTS, r22
	std	Z+7*PORTS, r23
	adiw	r30, 1
	cpi	r28, lo8(ports + 2*PORTS)
	brne	4b
	pop	r29
	pop	r28
	pop	r17
	pop	r16
	ret
