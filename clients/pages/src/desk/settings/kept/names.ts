import { actionTerm, circuitTerm, componentTerm } from '../../../../../../src/domain/intervals/terms.js';
import { ACTIONS, COMPONENTS } from '../../../../../../src/domain/intervals/types.js';
import { CIRCUITS } from '../../../../../../src/domain/vehicles/circuits.js';
import type { Choices } from '../../record-form/shape.js';

export const COMPONENT_NAMES: Choices = COMPONENTS.map((one) => [one, componentTerm(one)]);
export const ACTION_NAMES: Choices = ACTIONS.map((one) => [one, actionTerm(one)]);
export const CIRCUIT_NAMES: Choices = CIRCUITS.map((one) => [one, circuitTerm(one)]);
