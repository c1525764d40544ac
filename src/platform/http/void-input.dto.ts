import { Text } from '../fields/fields.js';

/** The body of a request to void a record. */
export class VoidInput {
  @Text({ max: 500, min: 3, description: 'Why it is taken back' }) reason!: string;
}
