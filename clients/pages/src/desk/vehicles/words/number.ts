/** A number with as many digits as somebody reads: all before the point, and three in all. */
export function numberIn(locale: string, value: number): string {
  const size = Math.abs(value);
  const digits = size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 ? 2 : 3;
  return new Intl.NumberFormat(locale, { maximumFractionDigits: digits }).format(value);
}
