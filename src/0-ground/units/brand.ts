// The one helper that makes a unit type: a number that remembers its unit while compiling.
// Arithmetic gives a plain number again, which is wrapped where a reader should see the unit.

declare const unit: unique symbol

export type Unit<Name extends string> = number & { readonly [unit]?: Name }

export type Mm = Unit<"mm">
export type Volt = Unit<"V">
export type Ampere = Unit<"A">
export type Ohm = Unit<"Ω">
export type Watt = Unit<"W">
export type Farad = Unit<"F">
export type Second = Unit<"s">
export type Hertz = Unit<"Hz">
export type Celsius = Unit<"°C">
export type Candela = Unit<"cd">
export type Radian = Unit<"rad">
/** Millimetres per minute, the unit of the F word. */
export type MmPerMinute = Unit<"mm/min">

export const mm = (n: number): Mm => n
export const volt = (n: number): Volt => n
export const ampere = (n: number): Ampere => n
export const ohm = (n: number): Ohm => n
export const watt = (n: number): Watt => n
export const farad = (n: number): Farad => n
export const second = (n: number): Second => n
export const hertz = (n: number): Hertz => n
export const celsius = (n: number): Celsius => n
export const candela = (n: number): Candela => n
export const radian = (n: number): Radian => n
