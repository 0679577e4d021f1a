// Numbers, expressions, functions and parameters of the cutter language (NISTIR 6556, 3.3.2).
// Reads from a line that was already stripped of spaces and comments and put in capitals.

/** Thrown inside the reader only and turned into a fault with its line number there. */
export class Refusal {
  readonly reason: string
  constructor(reason: string) {
    this.reason = reason
  }
}

/** A place in a stripped line; moves on as values are read. */
export interface Cursor {
  readonly text: string
  at: number
}

const powersOfTen = Array.from({ length: 23 }, (_, k) => Number(`1e${k}`))
const degrees = 180 / Math.PI

/** A number, `[expression]`, `#parameter` or function call at the cursor. */
export function readValue(c: Cursor, parameters: ReadonlyMap<number, number>): number {
  const code = c.text.charCodeAt(c.at)
  if (code === 91) return bracket(c, parameters)
  if (code === 35) {
    c.at++
    const index = readValue(c, parameters)
    const whole = Math.round(index)
    if (Math.abs(index - whole) > 1e-4 || whole < 1 || whole > 5399)
      throw new Refusal(`parameter #${index} does not exist (whole numbers 1 to 5399)`)
    return parameters.get(whole) ?? 0
  }
  if (code >= 65 && code <= 90) return functionCall(c, parameters)
  return plainNumber(c)
}

function plainNumber(c: Cursor): number {
  const { text } = c
  const start = c.at
  let i = start
  const sign = text.charCodeAt(i)
  if (sign === 45 || sign === 43) i++
  let mantissa = 0
  let digits = 0
  let decimals = -1
  for (; i < text.length; i++) {
    const d = text.charCodeAt(i)
    if (d === 46) {
      if (decimals >= 0) throw new Refusal("a number with two points")
      decimals = 0
    } else if (d >= 48 && d <= 57) {
      mantissa = mantissa * 10 + (d - 48)
      digits++
      if (decimals >= 0) decimals++
    } else break
  }
  if (digits === 0) {
    throw new Refusal(
      start >= text.length || (text.charCodeAt(start) >= 65 && text.charCodeAt(start) <= 90)
        ? "a letter without a value"
        : `a number was expected at "${text.slice(start, start + 8)}"`,
    )
  }
  c.at = i
  // Both sides of the division are exact up to here, so the quotient is the correctly rounded decimal.
  const value =
    digits <= 15
      ? decimals > 0
        ? mantissa / powersOfTen[decimals]!
        : mantissa
      : Math.abs(Number(text.slice(start, i)))
  return sign === 45 ? -value : value
}

const levels: readonly (readonly string[])[] = [["**"], ["*", "/", "MOD"], ["+", "-", "OR", "XOR", "AND"]]

function bracket(c: Cursor, parameters: ReadonlyMap<number, number>): number {
  c.at++
  const values = [readValue(c, parameters)]
  const operators: string[] = []
  for (;;) {
    if (c.text[c.at] === "]") break
    const operator = ["**", "MOD", "XOR", "AND", "OR", "*", "/", "+", "-"].find((o) =>
      c.text.startsWith(o, c.at),
    )
    if (!operator) throw new Refusal("an expression without its closing ]")
    c.at += operator.length
    operators.push(operator)
    values.push(readValue(c, parameters))
  }
  c.at++
  for (const level of levels) {
    for (let i = 0; i < operators.length; ) {
      if (!level.includes(operators[i]!)) {
        i++
        continue
      }
      values.splice(i, 2, apply(operators[i]!, values[i]!, values[i + 1]!))
      operators.splice(i, 1)
    }
  }
  return values[0]!
}

function apply(operator: string, a: number, b: number): number {
  const truth = (yes: boolean) => (yes ? 1 : 0)
  switch (operator) {
    case "**":
      if (a < 0 && !Number.isInteger(b)) throw new Refusal("a negative number to a power that is not whole")
      return a ** b
    case "*":
      return a * b
    case "/":
      if (b === 0) throw new Refusal("division by zero")
      return a / b
    case "MOD":
      if (b === 0) throw new Refusal("MOD by zero")
      return a - Math.floor(a / b) * b
    case "+":
      return a + b
    case "-":
      return a - b
    case "AND":
      return truth(a !== 0 && b !== 0)
    case "OR":
      return truth(a !== 0 || b !== 0)
    default:
      return truth((a !== 0) !== (b !== 0))
  }
}

function functionCall(c: Cursor, parameters: ReadonlyMap<number, number>): number {
  const name = /^[A-Z]+/.exec(c.text.slice(c.at, c.at + 8))?.[0] ?? ""
  const known = functionNames.find((f) => name === f)
  if (!known || c.text[c.at + known.length] !== "[") throw new Refusal("a letter without a value")
  c.at += known.length
  const a = bracket(c, parameters)
  switch (known) {
    case "ATAN": {
      if (c.text[c.at] !== "/" || c.text[c.at + 1] !== "[")
        throw new Refusal("ATAN needs two values: ATAN[a]/[b]")
      c.at++
      return Math.atan2(a, bracket(c, parameters)) * degrees
    }
    case "ABS":
      return Math.abs(a)
    case "ACOS":
      return inDomain(Math.acos(a) * degrees, known)
    case "ASIN":
      return inDomain(Math.asin(a) * degrees, known)
    case "COS":
      return Math.cos(a / degrees)
    case "EXP":
      return Math.exp(a)
    case "FIX":
      return Math.floor(a)
    case "FUP":
      return Math.ceil(a)
    case "LN":
      return inDomain(a > 0 ? Math.log(a) : Number.NaN, known)
    case "ROUND":
      return Math.round(a)
    case "SIN":
      return Math.sin(a / degrees)
    case "SQRT":
      return inDomain(Math.sqrt(a), known)
    default:
      return Math.tan(a / degrees)
  }
}

const functionNames = [
  "ATAN",
  "ABS",
  "ACOS",
  "ASIN",
  "COS",
  "EXP",
  "FIX",
  "FUP",
  "LN",
  "ROUND",
  "SIN",
  "SQRT",
  "TAN",
] as const

function inDomain(value: number, name: string): number {
  if (Number.isNaN(value)) throw new Refusal(`${name} of a value it is not defined for`)
  return value
}
