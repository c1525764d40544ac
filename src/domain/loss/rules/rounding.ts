/** Sums of readings carry rounding errors of the machine; a limit met to the last digit is met. */
export const ROUNDING = 1e-9;
