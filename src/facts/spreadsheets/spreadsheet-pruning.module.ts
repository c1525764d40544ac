import { Module } from '@nestjs/common';
import { SpreadsheetPruningService } from './spreadsheet-pruning.service.js';

/** For the worker, which reads no files. */
@Module({ providers: [SpreadsheetPruningService], exports: [SpreadsheetPruningService] })
export class SpreadsheetPruningModule {}
