import { Text } from './fields.js';

/** What every list takes. */
export class PageQueryDto {
  @Text({ optional: true, max: 4, description: 'Rows a page, 1 to 200; 50 unless given' }) limit?: string;
  @Text({ optional: true, max: 500, description: 'The `next` of the page before' }) cursor?: string;
}
