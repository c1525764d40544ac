import { Flag } from '../../../platform/fields/fields.js';

/** Recorded, because tap water is for emergencies only. */
export const TapWater = (): PropertyDecorator =>
  Flag({
    optional: true,
    description: 'Emergency tap water went in; otherwise demineralised or distilled water',
  });
