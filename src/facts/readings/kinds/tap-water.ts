import { Flag } from '../../../platform/fields/fields.js';

/** Recorded, because tap water is for emergencies only. */
export const TapWater = (): PropertyDecorator =>
  Flag({
    optional: true,
    description: 'Tap water went in, in an emergency; otherwise demineralised or distilled water',
  });
