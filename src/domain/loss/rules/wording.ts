/** A volume as it stands in a sentence. @example litres(0.6) // '0.60 L' */
export function litres(volumeL: number): string {
  return `${volumeL.toFixed(2)} L`;
}

/** @example percent(5.123) // '5.1 %' */
export function percent(value: number): string {
  return `${value.toFixed(1)} %`;
}

/** Sums of readings carry rounding errors of the machine; a limit met to the last digit is met. */
export const ROUNDING = 1e-9;
