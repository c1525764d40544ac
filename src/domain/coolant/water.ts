/**
 * The water that coolant is mixed with, and that rinses last. Tap water leaves scale and brings
 * chloride.
 *
 * Source: from memory of the water limits in the appendices of ASTM D3306 and D6210 (hardness up
 * to 170 mg/L, chloride up to 40 mg/L, sulfate up to 100 mg/L); demineralised or distilled water
 * keeps them everywhere (common practice).
 */
export const MIXING_WATER = 'demineralised or distilled water';
