/** One line of the printed card. */
export interface Row {
  /** With a box to tick. */
  box?: boolean;
  text: string;
  /** Set apart at the end of the line: a torque, an amount. */
  value?: string;
  /** What the mechanic writes in by hand. */
  blanks?: readonly string[];
}

/** A part of the printed card under its heading. */
export interface Block {
  title: string;
  rows: readonly Row[];
  /** How many rows to keep if possible where room is short; the rest is counted. */
  keep: number;
  /** How many rows to keep in any case. */
  least: number;
}

/** A part that is never shortened. */
export const whole = (title: string, rows: readonly Row[]): Block => ({
  ...{ title, rows, keep: Infinity, least: Infinity },
});

/** A list that may be shortened. */
export const list = (title: string, rows: readonly Row[], room: { keep: number; least: number }): Block => ({
  ...{ title, rows, ...room },
});
