import { Module } from '@nestjs/common';
import { DueListController } from './due-list.controller.js';
import { DueListService } from './due-list.service.js';

@Module({ controllers: [DueListController], providers: [DueListService] })
export class DueListModule {}
