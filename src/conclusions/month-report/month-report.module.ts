import { Module } from '@nestjs/common';
import { MonthReportCsvService } from './month-report-csv.service.js';
import { MonthReportController } from './month-report.controller.js';
import { MonthReportService } from './month-report.service.js';

@Module({ controllers: [MonthReportController], providers: [MonthReportCsvService, MonthReportService] })
export class MonthReportModule {}
