import { Text } from '../fields/fields.js';
import { MAX_CURSOR } from './pages.js';

/** The query parameters of every list. */
export class PageQueryDto {
  @Text({ optional: true, max: 4, description: 'Rows a page, 1 to 200; 50 unless given' }) limit?: string;
  @Text({ optional: true, max: MAX_CURSOR, description: 'The `next` of the page before' }) cursor?: string;
}
