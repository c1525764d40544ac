/** One line of the printed card. */
export interface Row {
  /** Has a box to tick. */
  box?: boolean;
  text: string;
  /** Shown at the end of the line: a torque or an amount. */
  value?: string;
  /** What the mechanic fills in by hand. */
  blanks?: readonly string[];
}

/** A block of the printed card under its heading. */
export interface Block {
  title: string;
  rows: readonly Row[];
  /** How many rows to keep if possible when space is short. The rest is only counted. */
  keep: number;
  /** How many rows to keep in any case. */
  least: number;
}

/** A block that is never shortened. */
export const whole = (title: string, rows: readonly Row[]): Block => ({
  ...{ title, rows, keep: Infinity, least: Infinity },
});

/** A block that may be shortened. */
export const list = (title: string, rows: readonly Row[], room: { keep: number; least: number }): Block => ({
  ...{ title, rows, ...room },
});
