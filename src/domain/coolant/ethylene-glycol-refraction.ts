/**
 * CRC Handbook of Chemistry and Physics, 102nd edition, "Concentrative properties of aqueous
 * solutions": refractive index at 20 °C of ethylene glycol and water, [mass %, nD]. The first row
 * is plain water.
 */
export const ETHYLENE_GLYCOL_REFRACTION: readonly (readonly [
  massPercent: number,
  refractiveIndex: number,
])[] = [
  [0, 1.333],
  [0.5, 1.3335],
  [1, 1.3339],
  [2, 1.3348],
  [3, 1.3358],
  [4, 1.3367],
  [5, 1.3377],
  [6, 1.3386],
  [7, 1.3396],
  [8, 1.3405],
  [9, 1.3415],
  [10, 1.3425],
  [12, 1.3444],
  [14, 1.3464],
  [16, 1.3484],
  [18, 1.3503],
  [20, 1.3523],
  [24, 1.3564],
  [28, 1.3605],
  [32, 1.3646],
  [36, 1.3687],
  [40, 1.3728],
  [44, 1.3769],
  [48, 1.3811],
  [52, 1.3851],
  [56, 1.3892],
  [60, 1.3931],
];
