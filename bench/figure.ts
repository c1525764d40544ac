/** One measured figure and its limit. */
export interface Figure {
  figure: string;
  value: number;
  bound: string;
  held: boolean;
  /** What the figure was derived from, for readers of the table. */
  detail: string;
}

const shown = (value: number): number => Number(value.toPrecision(4));

export function atLeast(figure: string, value: number, bound: number, detail: string): Figure {
  return { figure, value: shown(value), bound: `>= ${bound}`, held: value >= bound, detail };
}

export function atMost(figure: string, value: number, bound: number, detail: string): Figure {
  return { figure, value: shown(value), bound: `<= ${bound}`, held: value <= bound, detail };
}

/** The value that the given share of the sample does not exceed. */
export function quantile(sample: readonly number[], share: number): number {
  const sorted = Float64Array.from(sample).sort();
  const value = sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))];
  if (value === undefined) throw new Error('nothing was measured');
  return value;
}

export const median = (sample: readonly number[]): number => quantile(sample, 0.5);

export const ms = (value: number): string => `${value.toFixed(value < 10 ? 2 : 0)} ms`;
export const perSecond = (value: number): string => `${Math.round(value).toLocaleString('en')}/s`;
