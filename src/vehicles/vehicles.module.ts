import { Module } from '@nestjs/common';
import { ConclusionsModule } from '../conclusions/conclusions.module.js';
import { RemindersModule } from '../reminders/reminders.module.js';
import { VehiclesController } from './vehicles.controller.js';
import { VehiclesService } from './vehicles.service.js';

@Module({
  imports: [ConclusionsModule, RemindersModule],
  controllers: [VehiclesController],
  providers: [VehiclesService],
})
export class VehiclesModule {}
