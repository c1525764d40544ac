import { Module } from '@nestjs/common';
import { MonthReportController } from './month-report.controller.js';
import { MonthReportService } from './month-report.service.js';

@Module({ controllers: [MonthReportController], providers: [MonthReportService] })
export class MonthReportModule {}
