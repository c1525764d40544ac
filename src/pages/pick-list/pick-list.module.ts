import { Module } from '@nestjs/common';
import { PickListController } from './pick-list.controller.js';
import { PickListService } from './pick-list.service.js';

@Module({ controllers: [PickListController], providers: [PickListService] })
export class PickListModule {}
