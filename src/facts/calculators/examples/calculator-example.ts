/** A worked example of one calculator. */
export interface CalculatorExample {
  title: string;
  request: object;
  /** As it is answered with `?units=si`. */
  answer: object;
}
