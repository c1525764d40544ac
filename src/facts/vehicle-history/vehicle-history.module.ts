import { Module } from '@nestjs/common';
import { VehicleHistoryController } from './vehicle-history.controller.js';
import { VehicleHistoryService } from './vehicle-history.service.js';

@Module({ controllers: [VehicleHistoryController], providers: [VehicleHistoryService] })
export class VehicleHistoryModule {}
