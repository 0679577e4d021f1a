declare const __LAMPWRIGHT_VERSION__: string

declare module "*?raw" {
  const text: string
  export default text
}
