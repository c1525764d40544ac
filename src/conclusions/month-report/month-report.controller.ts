import { Controller, Get, Query, Req, Res } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { CsvRoute, sendCsv } from '../../platform/csv/csv-answer.js';
import { languageOfRequest } from '../../platform/presenting/language-of-request.js';
import { ReaderUnits } from '../../platform/presenting/reader-units.js';
import { MonthReportCsvService } from './month-report-csv.service.js';
import { MonthReportCsvQuery, MonthReportQuery, MonthReportView } from './month-report.dto.js';
import { MonthReportService } from './month-report.service.js';

@ApiTags('due list')
@Controller('v1/reports')
export class MonthReportController {
  constructor(
    private readonly reports: MonthReportService,
    private readonly files: MonthReportCsvService,
  ) {}

  @Get('month')
  @ApiOperation({
    summary:
      'Work done in time, lateness, repeat jobs and failed readings of a month, by depot, component and duty, with the last 12 months',
  })
  @ApiOkResponse({ type: MonthReportView })
  get(@Query() { of }: MonthReportQuery): Promise<MonthReportView> {
    return this.reports.get(of);
  }

  @CsvRoute(
    'month.csv',
    'Read the report of a month as a CSV file',
    'A row for the whole month, for each depot, component and duty, and for each of the 11 months before; then a row for the definition of each figure. Text that a spreadsheet would take for a formula has an apostrophe before it.',
  )
  export(
    @Query() { of, bom }: MonthReportCsvQuery,
    @ReaderUnits() units: UnitSystem,
    @Req() request: FastifyRequest,
    @Res() reply: FastifyReply,
  ): Promise<void> {
    const chunks = this.files.export(of, { language: languageOfRequest(request), units });
    return sendCsv(reply, { name: 'month.csv', hasMark: bom === 'true', chunks });
  }
}
