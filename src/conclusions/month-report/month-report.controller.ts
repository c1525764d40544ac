import { Controller, Get, Query } from '@nestjs/common';
import { ApiOkResponse, ApiOperation, ApiTags } from '@nestjs/swagger';
import { MonthReportQuery, MonthReportView } from './month-report.dto.js';
import { MonthReportService } from './month-report.service.js';

@ApiTags('due list')
@Controller('v1/reports')
export class MonthReportController {
  constructor(private readonly reports: MonthReportService) {}

  @Get('month')
  @ApiOperation({
    summary: 'How much of a month was done in time, by depot, component and duty, with the last 12 months',
  })
  @ApiOkResponse({ type: MonthReportView })
  get(@Query() { of }: MonthReportQuery): Promise<MonthReportView> {
    return this.reports.get(of);
  }
}
