import type { OpenAPIObject } from '@nestjs/swagger';
import { Clock } from '../../platform/clock/clock.js';
import { present } from '../../platform/presenting/present.js';
import { CALCULATOR_EXAMPLES } from './calculator-examples.js';
import { CalculatorsService } from './calculators.service.js';

/**
 * Adds to each calculator of the API document the response to its example, in English and with
 * `?units=si`. No example depends on the service's date or time zone, so the responses never
 * change.
 */
export function showWorkedAnswers({ paths }: OpenAPIObject): void {
  const calculators = new CalculatorsService(new Clock());
  for (const [name, { title, evaluate }] of Object.entries(CALCULATOR_EXAMPLES)) {
    const answered = paths[`/v1/calculators/${name}`]?.post?.responses['200'];
    const shown = answered && 'content' in answered && answered.content?.['application/json'];
    if (!shown) throw new Error(`The API document has no answer of the calculator ${name}`);
    const value = present(evaluate(calculators), { language: 'en', units: 'si' });
    shown.examples = { worked: { summary: `${title}, answered with ?units=si`, value } };
  }
}
