import { Controller, Query, Req, Res } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { CsvRoute, sendCsv } from '../../platform/csv/csv-answer.js';
import { personAsked } from '../../platform/fields/assigned-to.js';
import { languageOfRequest } from '../../platform/presenting/language-of-request.js';
import { ReaderUnits } from '../../platform/presenting/reader-units.js';
import { DueListCsvQuery } from './due-list.dto.js';
import { DueListExportService } from './due-list-export.service.js';

@ApiTags('due list')
@Controller('v1')
export class DueListCsvController {
  constructor(private readonly exports: DueListExportService) {}

  @CsvRoute(
    'due-list.csv',
    'Read the due list as a CSV file',
    'The filters and the order of the due list; all of its lines, as of one day. Text that a spreadsheet would take for a formula has an apostrophe before it.',
  )
  export(
    @Query() { bom, ...query }: DueListCsvQuery,
    @ReaderUnits() units: UnitSystem,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    // A fault is answered as such only before the file begins.
    const asked = { ...query, assignedTo: personAsked(query.assignedTo) };
    const chunks = this.exports.export(asked, { language: languageOfRequest(request), units });
    return sendCsv(reply, { name: 'due-list.csv', hasMark: bom === 'true', chunks });
  }
}
