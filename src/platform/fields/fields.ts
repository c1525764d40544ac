/**
 * The decorators of DTO fields. Each one validates its field, words the fault and documents the
 * field.
 */
export { Amount, Amounts, AmountText } from './amounts.js';
export { Choice, ChoiceList, Choices, Flag } from './choices.js';
export type { FieldOptions } from './field.js';
export { Nested, NestedList } from './nested.js';
export { QuantityByChoice, QuantityOf } from './quantities.js';
export { quantityFault } from './quantity-fault.js';
export { Identifier, IdentifierList, Identifiers, Text, Texts } from './texts.js';
export { CivilDate, CivilDateOrInstant, CivilDates, Instant, TimeOfDay, TimeZone } from './times.js';
