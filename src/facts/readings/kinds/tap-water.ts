import { Flag } from '../../../platform/fields/fields.js';

/** Noted, since it is for an emergency alone. */
export const TapWater = (): PropertyDecorator =>
  Flag({
    optional: true,
    description: 'Tap water went in, in an emergency; otherwise demineralised or distilled water',
  });
