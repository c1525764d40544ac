import { CIRCUITS } from '../../../domain/vehicles/circuits.js';
import { Choice } from '../../../platform/fields/fields.js';

/** The circuit that a posted reading is about. */
export const OfCircuit = (): PropertyDecorator =>
  Choice(CIRCUITS, {
    optional: true,
    description: 'The circuit, by its name on the spec sheet; the first unless given',
  });
