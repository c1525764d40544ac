import type { LanguageFile } from '../language-file.js';

/**
 * Spanish, as workshops in the United States speak it: to the mechanic as usted
 * (`docs/glossary.md`). Values stand in braces, in ICU MessageFormat.
 */
export const SPANISH: LanguageFile = {
  locale: 'es-US',
  name: 'Español',
  messages: {
    // legacy
    // quantities
    // atmosphere
    // pressure
    'hold-test-held':
      'Aguantó: {outcome, select, lost {perdió {amount}} gained {ganó {amount}} other {no perdió nada}} en {minutes, plural, one {# minuto} other {# minutos}}{corrected, select, yes { una vez descontado el cambio de temperatura} other {}}.{outcome, select, lost { Se permite: {allowed} en {allowedMinutes, plural, one {# minuto} other {# minutos}}.} other {}}',
    'hold-test-lost-too-much':
      '{outcome, select, lost {Perdió {amount}} gained {Ganó {amount}} other {No perdió nada}} en {minutes, plural, one {# minuto} other {# minutos}}{corrected, select, yes { una vez descontado el cambio de temperatura} other {}}.{outcome, select, lost { Se permite: {allowed} en {allowedMinutes, plural, one {# minuto} other {# minutos}}.} other {}} Encuentre la fuga, repárela y repita la prueba.',
    'hold-test-too-close':
      'No se puede saber por poco: {outcome, select, lost {perdió {amount}} gained {ganó {amount}} other {no perdió nada}} en {minutes, plural, one {# minuto} other {# minutos}}{corrected, select, yes { una vez descontado el cambio de temperatura} other {}}.{outcome, select, lost { Se permite: {allowed} en {allowedMinutes, plural, one {# minuto} other {# minutos}}.} other {}}',
    'hold-test-right-at-limit':
      'La pérdida está justo en el límite. Use un manómetro más fino y espere más tiempo.',
    'hold-test-settled-by-longer':
      'Para salir de la duda, espere {minutes, plural, one {# minuto} other {# minutos}}.',
    'hold-test-settled-by-longer-or-finer':
      'Para salir de la duda, espere {minutes, plural, one {# minuto} other {# minutos}} o use un manómetro con divisiones de {division}.',
    'hold-test-no-target':
      'No se conoce la meta de esta prueba, así que no se evaluó {method, select, vacuum {el vacío inicial} other {la presión inicial}}.',
    'hold-test-nothing-tested':
      'Esto no probó nada: empezó en {start}, que no es más de lo que puede perder. Empiece con más {method, select, vacuum {vacío} other {presión}} y repita.',
    'hold-test-too-short':
      'Aguantó {held, number} de {needed, plural, one {# minuto} other {# minutos}}. Espere {needed, plural, one {# minuto} other {# minutos}}.',
    'hold-test-grew':
      '{method, select, vacuum {El vacío} other {La presión}} aumentó {gain}. Eso no pasa a temperatura constante. Deje que se estabilice, lea las dos temperaturas y repita.',
    'hold-test-boiled':
      'El vacío fue tan profundo que hirvió el refrigerante, y eso parece una fuga. Deje que se enfríe o no pase de {deepest}.',
    'hold-test-started-short':
      'Empezó en {start} y se necesitan {target} {method, select, vacuum {a esta altitud} other {aquí}}. {method, select, vacuum {Llegue a} other {Bombee hasta}} {target} y repita.',
    'hold-test-was-it-other-unit': '¿Eran {meant}?',
    'hold-test-too-hot':
      'El refrigerante estaba a {coolant}. {method, select, vacuum {Un motor que se enfría esconde una fuga.} other {Un cambio de temperatura mueve la presión.}} Deje que se enfríe y repita por debajo de {limit}.',
    'hold-test-temperature-changed':
      'La temperatura cambió {change} durante la prueba, y eso puede esconder una fuga. Deje que se enfríe y repita.',
    'hold-test-warm':
      'El motor estaba caliente. {method, select, vacuum {Un motor que se enfría esconde una fuga.} other {Un cambio de temperatura mueve la presión.}} Deje que se enfríe y repita.',
    'hold-test-maybe-warm':
      'El reporte no dice que el motor estaba frío. {method, select, vacuum {Un motor que se enfría esconde una fuga.} other {Un cambio de temperatura mueve la presión.}} Si estaba frío, indíquelo (engineCold). Si no, deje que se enfríe y repita.',
    'hold-test-maybe-warm-or-dry':
      'El reporte no dice que el motor estaba frío. Un motor que se enfría esconde una fuga. Si estaba frío, indíquelo (engineCold). Si el sistema estaba drenado y seco, indique wet: false. Si no es ninguno de los dos, deje que se enfríe y repita.',
    'hold-test-over-pressured':
      'Presión excesiva: {highest} pasa de {limit}, el máximo para probar este sistema. Revise el radiador, el núcleo de calefacción y las mangueras.',
    'hold-test-coarse-gauge':
      'Manómetro poco fino: su incertidumbre de {uncertainty} es tan grande como la pérdida permitida de {allowed}.',
    'basis-hold-test-rate':
      'tasa de pérdida contra la tasa permitida; u = resolución/√12 y lector/√12 por lectura, más el efecto posible de la temperatura (JCGM 100); banda de guarda de 2 u para aprobar, 1.645 u para reprobar (JCGM 106)',
    'basis-hold-test-temperature-correction':
      'corrección por temperatura: gas ideal para el aire, presión de vapor para el refrigerante',
    'basis-hold-test-simple-acceptance':
      'aceptación simple (ILAC-G8): el manómetro es demasiado grueso para una banda de guarda',
    'basis-leak-rate': 'tasa de fuga Q = V·Δp/Δt, solo indicativa: las mangueras ceden',
    // cautions
    'caution-hot-system':
      'Nunca abra un sistema caliente. Motor apagado; espere hasta que la manguera superior se sienta fría en la mano. Cubra el tapón con un trapo y aflójelo despacio hasta su primer tope.',
    'caution-secured':
      'Antes de meter las manos: llave fuera, freno puesto, ruedas calzadas, articulación bloqueada.',
    'caution-cold-into-hot': 'Nunca agregue refrigerante frío a un motor caliente.',
    'caution-poison':
      'El refrigerante es venenoso para personas y animales. Recójalo, no deje que llegue al drenaje y deséchelo según las reglas locales.',
    'caution-protection': 'Use protección para los ojos y las manos.',
    'caution-stands': 'Apoye un vehículo levantado sobre torres de soporte antes de trabajar debajo de él.',
    'caution-moving-parts':
      'Manténgase lejos de bandas y ventiladores. Un ventilador eléctrico puede arrancar con el motor apagado.',
    'caution-exhaust':
      'Nunca haga funcionar un motor bajo techo sin una manguera que saque los gases de escape al exterior. Los gases de escape matan.',
    'caution-timing-belt':
      'Banda de distribución: alinee las marcas de tiempo antes de quitarla. Si la banda mueve la bomba, cambie la bomba junto con ella.',
    'caution-cap-rating': 'Nunca pase de la presión marcada en el tapón al hacer una prueba de presión.',
    'caution-maker':
      'Los pares de apriete, los procedimientos y los tipos de refrigerante vienen de la información de servicio del fabricante del vehículo. Donde las reglas locales lo pidan, el trabajo debe hacerlo personal calificado o con licencia.',
    'caution-intervals':
      'Los intervalos vienen de la información de servicio del fabricante del vehículo. Si hay dos tipos de servicio posibles, planee con el más severo.',
    'caution-estimate':
      'Una fecha proyectada es una estimación. Una fuga, una luz de advertencia o un ruido no esperan a esa fecha.',
    // calendar
    // vehicles
    // checks
    // belt
    // fastening
    // coolant
    'ethylene-glycol': 'etilenglicol',
    'propylene-glycol': 'propilenglicol',
    'mixing-water': 'agua desmineralizada o destilada',
    // coolant-condition
    // strength
    // filling
    // evaluation
    // readings
    // follow-ups
    // conclusions
    // intervals
    'component-coolant': 'anticongelante',
    'component-water-pump': 'bomba de agua',
    'component-drive-belt': 'banda impulsora',
    'component-tensioner': 'tensor',
    'component-idler': 'polea loca',
    'component-thermostat': 'termostato',
    'component-radiator': 'radiador',
    'component-radiator-cap': 'tapón del radiador',
    'component-upper-hose': 'manguera superior',
    'component-lower-hose': 'manguera inferior',
    'component-heater-hose': 'manguera de la calefacción',
    'component-bypass-hose': 'manguera de derivación',
    'component-hose-clamp': 'abrazadera',
    'component-fan-drive': 'mando del ventilador',
    'component-fan-shroud': 'tolva del ventilador',
    'component-reservoir': 'depósito de anticongelante',
    'component-heater-core': 'núcleo del calefactor',
    'component-coolant-filter': 'filtro de anticongelante',
    'component-oil-cooler': 'enfriador de aceite',
    'component-egr-cooler': 'enfriador del EGR',
    'component-head-gasket': 'empaque de la cabeza',
    'component-injector-sleeve': 'copa del inyector',
    'component-timing-belt': 'banda de distribución',
    'component-temperature-sensor': 'sensor de temperatura',
    'component-other': 'otra pieza',
    'action-inspect': 'revisión',
    'action-test': 'prueba',
    'action-adjust': 'ajuste',
    'action-clean': 'limpieza',
    'action-flush': 'lavado',
    'action-replace': 'cambio',
    'action-recheck': 'nueva revisión',
    'part-with-item': '{component} ({item})',
    'work-on-part': '{part}: {action}',
    // usage
    // loss
    'loss-level':
      'Nivel en frío: {level, select, filled {rellenado hasta la marca} at {en la marca} above {{offMark} por encima de la marca} other {{offMark} por debajo de la marca}}.{first, select, yes {} other { Pérdida desde el primer nivel: {lost}.}}',
    'loss-level-below-min': 'Por debajo de MIN. Pérdida total desde el primer nivel: al menos {lost}.',
    'loss-level-between': 'Entre MIN y MAX. Pérdida total desde el primer nivel: al menos {lost}.',
    'loss-level-at-max': 'En MAX. Pérdida total desde el primer nivel: al menos {lost}.',
    'loss-level-above-max': 'Por encima de MAX. Pérdida total desde el primer nivel: al menos {lost}.',
    'loss-top-up':
      'Relleno de {added}, no planeado{marked, select, yes {, hasta la marca} other {}}.{settled, select, yes { De eso, {settling} corresponde al asentamiento después del llenado.} other {}}',
    'loss-since-last-level': 'Pérdida de {lost} desde el último nivel en frío conocido.',
    'loss-since-last-level-by-marks':
      'Según las marcas, pérdida de al menos {lost} desde el último nivel en frío conocido.',
    'loss-cooling-job': 'Trabajo en el sistema de enfriamiento ({work}).',
    'loss-strength-before': 'Concentración medida antes: {strength, number} % {method}.',
    'loss-strength-fell': 'Se esperaba {expected, number} % y se midió {strength, number} % {method}.',
    'loss-top-up-strength':
      '{poured, select, water {Relleno de {added} de agua.} mixture {Relleno de {added}, al {strength, number} %.} other {Relleno de {added}. No se conoce su concentración, así que cuenta como agua.}}',
    'loss-hold-test':
      'Prueba de {method, select, vacuum {vacío} other {presión}}{verdict, select, pass {: pasó} fail {: no pasó} inconclusive {: no concluyente} other {}}. {rated, select, yes {En 10 minutos perdería {lost}; se permite {allowed}.} other {No se conoce la tasa de pérdida.}}',
    'loss-hold-test-failed-again':
      'La prueba de {method, select, vacuum {vacío} other {presión}} tampoco pasó esta vez.',
    'loss-top-up-again': 'Otro relleno de {lost}, no planeado.',
    'loss-again': 'Otra pérdida de {lost}.',
    'loss-part-replaced':
      'Cambio{known, select, before { antes de que empezaran los registros} other {}}: {parts}.',
    'loss-part-replaced-again':
      '{why, select, failed {Nuevo cambio por falla: {failed}.} early {Nuevo cambio antes de tiempo: {early}.} other {Nuevo cambio por falla: {failed}. Antes de tiempo: {early}.}}',
    'loss-batch-fitted': 'Instalación: {part}, lote {batch}. Primera alerta después de {distance}.',
    'loss-method-refractometer': 'con refractómetro',
    'loss-method-hydrometer': 'con densímetro',
    'loss-method-test-strip': 'con tira reactiva',
    'loss-method-refractive-index': 'por índice de refracción',
    'loss-method-brix': 'por grados Brix',
    'loss-method-volume-percent': 'con un instrumento que lee % en volumen',
    'loss-check-cap': 'Tapón del radiador y su asiento.',
    'loss-check-hoses':
      'Mangueras de punta a punta, y sus abrazaderas: ¿están mojadas o tienen anticongelante seco?',
    'loss-check-weep-hole': 'Orificio de drenado de la bomba, y el piso debajo.',
    'loss-check-radiator-and-heater':
      'Radiador, depósito de anticongelante y núcleo del calefactor: ¿alfombra mojada, olor dulce, una película por dentro del parabrisas?',
    'loss-check-pressure-test': 'Prueba de presión a la presión nominal del tapón, con el motor frío.',
    'loss-check-combustion-gas':
      'Solo después, una prueba de gases de combustión; coloque el probador con el motor frío. Si es positiva, deje el vehículo estacionado: empaque de la cabeza, enfriador del EGR o copas de los inyectores.',
    'loss-check-water-added':
      'Pregunte a quien maneja el vehículo y le carga combustible si se agregó agua en el camino.',
    'loss-check-strength':
      'Mida otra vez la concentración con un refractómetro, ya mezclado el anticongelante. Regrésela a la concentración deseada.',
    'loss-check-tester':
      'Pruebe por separado el manómetro, las mangueras y el adaptador: ¿la herramienta aguanta?',
    'loss-check-failed-part':
      'Averigüe por qué regresó la pieza: la pieza que falló, sus superficies de sellado, el anticongelante que pasó por ella.',
    'loss-check-belt': 'Si la pieza es movida por una banda: tensión de la banda y alineación de las poleas.',
    'loss-check-first-job':
      'Torques y procedimiento del primer trabajo. Compare el número de parte y el lote con la hoja de especificaciones.',
    'loss-check-batch-vehicles': 'Otros vehículos con piezas de este lote: revíselos en su próxima visita.',
    'loss-check-batch-stock': 'Existencias del mismo lote: apártelas hasta que el proveedor responda.',
    'loss-check-fitting':
      'Procedimiento de instalación y torques: la causa puede ser el trabajo y no la pieza.',
    'caution-vacuum-hides-leak':
      'Una prueba de vacío que pasó no demuestra que esta fuga ya no existe. El vacío cierra un sello de labio o un empaque de la cabeza.',
    'basis-loss-early-return':
      'cambio repetido en {months, plural, one {# mes} other {# meses}}, {distance} y {hours, plural, one {# hora de motor} other {# horas de motor}}: práctica común, sin fuente publicada',
    'basis-loss-cusum':
      'CUSUM tabular unilateral (NIST/SEMATECH e-Handbook 6.3.2.3) de cuánto se aparta cada nivel de la línea propia del vehículo (residuos recursivos: Brown, Durbin and Evans 1975), holgura {slack, number}; la suma y cada desviación se limitan a una falsa alarma en {distance, number} km (Siegmund 1985; distribución normal)',
    'basis-loss-usual':
      'pérdida usual {usual} ± {spread} por 1,000 km, {known, select, cohort {de vehículos con la misma hoja de especificaciones} other {supuesta: práctica común, sin fuente publicada}}; lectura del nivel ± {level}: práctica común, sin fuente publicada',
    'basis-loss-top-ups':
      'dos o más rellenos que nadie planeó, juntos al menos {share, number} % de la capacidad de {capacity}: práctica común, sin fuente publicada',
    'basis-loss-at-once':
      'una pérdida de al menos {share, number} % de la capacidad de {capacity} desde el último nivel en frío conocido: práctica común, sin fuente publicada',
    'basis-loss-water':
      'conservación del glicol en cada relleno registrado, capacidad {capacity}; incertidumbre de las dos lecturas según JCGM 100',
    'basis-loss-water-share':
      'alerta por encima de {share, number} % de la capacidad, descontada la incertidumbre: práctica común, sin fuente publicada',
    'basis-loss-hold-trend':
      'prueba de tendencia de Mann–Kendall, p unilateral exacta menor que {limit, number}, con las pruebas de {method, select, vacuum {vacío} other {presión}} desde la última reparación',
    'basis-loss-hold-failed':
      'una prueba de {method, select, vacuum {vacío} other {presión}} que no pasó después de otra que pasó, sin trabajo en el sistema de enfriamiento entre las dos',
    'basis-loss-return':
      'una pérdida dentro de {days, plural, one {# día} other {# días}} después de cerrar la alerta: práctica común, sin fuente publicada',
    'basis-loss-batch':
      'prueba binomial de la parte de las alertas que toca al lote contra su parte de los kilómetros, p menor que {limit, number, ::@@}: {probability, number} repartido entre {batches, plural, one {# lote probado} other {# lotes probados}} y entre las veces que se evaluó cada uno',
    'loss-capacity-not-above-zero': 'Una capacidad de {capacity} no es posible: debe ser mayor que 0.',
    'loss-strengths-not-above-zero':
      'No se pueden comparar concentraciones de {expected, number} % y {measured, number} %: las dos deben ser mayores que 0.',
    'loss-instant-without-offset':
      '"{at}" no es un instante. Indique la fecha, la hora y la diferencia con UTC, por ejemplo 2026-04-02T15:20:00Z.',
    'loss-shelving-without-end': 'La pausa necesita un fin. Indique una hora posterior a {after}.',
    'loss-shelving-ends-too-early':
      'Una pausa hasta {until} terminaría antes de empezar. Indique una hora posterior a {after}.',
    // reliability
    'life-not-above-zero': 'Una vida útil de {age, number} no es posible: debe ser mayor que 0.',
    'life-watched-too-late':
      'Una vida útil de {age, number} no se puede observar desde {entry, number}: indique un inicio de 0 o más, antes de su fin.',
    'life-count-not-above-zero': 'No puede haber {count, number} vidas útiles: indique más de 0.',
    // visits
    'visit-left-no-working-day': 'El patio no trabaja ninguno de los días del plan.',
    'visit-left-window-opens-later':
      'Su ventana de servicio se abre el {opens}, después del último día hábil del plan.',
    'visit-left-too-long-for-a-day':
      'Requiere {hours, plural, one {# hora} other {# horas}}. Ningún día hábil desde el {from} tiene tanta mano de obra libre.',
    'visit-left-costs-no-more-later': 'No cuesta más el {next}, el primer día hábil después del plan.',
    'visit-left-for-dearer-work':
      'La mano de obra se destina a trabajos que cuesta más posponer. El plan cuenta este trabajo el {next}, el primer día hábil después de él.',
    'visits-range-exchanged': '{to} es anterior a from, {from}. ¿Se intercambiaron las dos fechas?',
    'visit-cancelled-already': 'Esta visita ya se había cancelado: {reason}',
    'visit-done-already':
      'El trabajo de esta visita se hizo el {on}. Si el reporte de trabajo está mal, anúlelo.',
    // job-card
    // statistics
    // job-card-page
    // calendar-feed
    // mail
    // reminders
    // due-list
    // loss-alerts
    'alert-shelved-into-past':
      '{until} ya pasó. Ponga la alerta en pausa hasta una hora posterior a la actual.',
    'alert-shelved-too-long':
      'Faltan más de {days, plural, one {# día} other {# días}} para {until}. Ponga la alerta en pausa por menos tiempo o ciérrela.',
    'alert-no-longer-standing':
      'Se anularon los hechos en que se basa esta alerta. Ya no hay nada que hacer con ella.',
    'alert-cleared-already': 'Esta alerta se cerró el {at}. Una evidencia nueva activa otra alerta.',
    'alert-acknowledged-already': 'Esta alerta ya está reconocida. Puede ponerla en pausa o cerrarla.',
    // interval-advice
    'advice-too-few-failures':
      'Hay {failures, plural, one {# falla registrada} other {# fallas registradas}}. Con menos de {least, number}, una estimación dice más del azar que de las piezas.',
    'advice-no-law-fits':
      'Las fallas son todas iguales, o están demasiado separadas: ninguna ley de Weibull se ajusta a ellas.',
    'advice-no-wear-out':
      'Nada muestra todavía que estas piezas se desgasten con el uso: una pieza nueva fallaría tanto como una vieja. La forma es {shape, number, ::@##}, con límites de 95 % de {low, number, ::@##} y {high, number, ::@##}. El límite inferior no pasa de 1.',
    'advice-no-costs': 'No se indicó plannedCost ni failureCost. Sin ellos no hay costo mínimo.',
    'advice-failure-costs-no-more':
      'Una falla no cuesta más que un cambio planeado, así que cambiar antes no ahorra nada.',
    'advice-band-too-wide':
      'El rango de 95 % del mejor intervalo va de {low} a {high}, más amplio que un factor de {factor, number}. Estas vidas útiles no señalan un intervalo.',
    'advice-band-without-end':
      'El rango de 95 % del mejor intervalo empieza en {low} y no tiene fin. Estas vidas útiles no descartan que cambiar antes nunca convenga.',
    'advice-beyond-the-lives':
      'El mejor intervalo sería {best}, pero ninguna pieza se ha observado más allá de {longest}.',
    'advice-none': 'No se recomienda ningún intervalo.',
    'advice-do-report-failures':
      'Siga el plan hasta que haya suficientes fallas. En los reportes de trabajo, marque con failed cada pieza cambiada que había fallado.',
    'advice-do-look-for-common-cause':
      'Siga el plan. Averigüe qué tienen en común estas fallas: un lote, un trabajo, un lugar.',
    'advice-do-look-at-fitting':
      'Siga el plan. Más que el intervalo, revise cómo se instalan las piezas, los lotes y qué más está mal donde fallan.',
    'advice-do-give-costs':
      'Indique plannedCost y failureCost, con grúa y tiempo fuera de servicio incluidos.',
    'advice-do-check-failure-cost':
      'Siga el plan. Compruebe que failureCost incluye la grúa, el tiempo fuera de servicio y lo que una pieza que falla daña a su paso.',
    'advice-do-ask-again': 'Siga el plan y vuelva a preguntar cuando haya más fallas.',
    'advice-do-keep-to-plan':
      'Siga el plan. Según estas vidas útiles, no conviene cambiar antes de lo que dice.',
    'advice-best':
      'Pieza: {part}. Según las fallas de la propia flota, cambiarla cada {best} es lo que menos cuesta. Cualquier intervalo de {low} a {high} concuerda con ellas.',
    'advice-saving': 'Cuesta {percent, number} % menos que cambiar solo las piezas que fallan.',
    'advice-plan-agrees':
      'El plan "{plan}"{named, select, yes { ({item})} other {}}, en uso {duty, select, severe {severo} other {normal}}, dice {every}. Concuerda: déjelo así.',
    'advice-plan-too-late':
      'El plan "{plan}"{named, select, yes { ({item})} other {}}, en uso {duty, select, severe {severo} other {normal}}, dice {every}. Es demasiado tarde: acórtelo a {best}.',
    'advice-plan-sooner':
      'El plan "{plan}"{named, select, yes { ({item})} other {}}, en uso {duty, select, severe {severo} other {normal}}, dice {every}. Según estas vidas útiles, es antes de lo necesario. Puede alargarlo hacia {low}, nunca más allá de lo que dice el fabricante del vehículo.',
    'advice-plan-without-limit':
      'El plan "{plan}"{named, select, yes { ({item})} other {}}, en uso {duty, select, severe {severo} other {normal}}, no tiene límite para este contador. {best} sería uno.',
    'advice-no-plan':
      'Ningún plan de estos vehículos incluye todavía este cambio. Agregue un intervalo al plan.',
    'lives-usage-unknown':
      'No se conoce el uso en uno de los extremos. Indique inServiceOdometer o inServiceEngineHours, y lecturas de fechas cercanas al trabajo.',
    'lives-no-use':
      'No hubo uso entre los dos extremos. Si la pieza sigue trabajando, no hay lecturas desde que se instaló.',
    'lives-before-records':
      'La pieza se quitó antes de que empezaran los registros. No consta por qué, ni si se quitaron otras.',
    'lives-watched-only-at-end':
      'La pieza se instaló antes de que empezaran los registros, y desde entonces no hay lecturas.',
    'lives-sheet-changed': 'El vehículo tuvo otra hoja de especificaciones durante esa vida útil.',
    'lives-item-unknown': 'El trabajo no dice cuál de varias piezas se cambió.',
    'caution-lives-of-both-duties':
      'Las vidas útiles mezclan uso normal y severo: las piezas pueden desgastarse de otra manera. Pida uno solo con duty=.',
    'caution-lives-of-every-sheet':
      'Las vidas útiles son de todos los vehículos, sea cual sea su hoja de especificaciones. Pida una sola con specSheetId=.',
    'caution-lives-of-several-items':
      'Las vidas útiles son de {count, number} elementos juntos ({items}). Pida uno solo con item=.',
    'caution-lives-follow-no-law':
      'Las vidas útiles no siguen una ley de Weibull (p = {p, number, ::@#}): puede haber más de una causa de falla mezclada. Vea la curva de supervivencia antes de confiar en el intervalo.',
    'caution-lives-from-day-in-service':
      '{count, number} de {total, plural, one {# vida útil} other {# vidas útiles}}: el inicio es el día de puesta en servicio. Una pieza que se cambió antes de que empezaran los registros, y no se importó, las alarga de más. Indique desde cuándo están completos los registros con recordsFrom=.',
    'caution-lives-failed-at-first-reading':
      '{count, number} de {total, plural, one {# vida útil} other {# vidas útiles}}: la pieza se instaló antes de que empezaran los registros y falló en la primera lectura. Cuentan como observadas desde nuevas.',
    'caution-lives-left-out':
      '{count, plural, one {Queda fuera # vida útil más} other {Quedan fuera # vidas útiles más}}; vea leftOut.',
    'caution-band-beyond-lives': 'El rango llega más allá de la vida útil más larga registrada.',
    'caution-maker-interval-shorter':
      'Si el intervalo del fabricante del vehículo es más corto, respételo: una falla puede hacer más daño de lo que cuesta.',
    'basis-lives':
      'Vidas útiles: de un cambio (o del día de puesta en servicio) al siguiente, según el uso aceptado; un cambio marcado failed es una falla, uno planeado o una pieza que sigue trabajando queda censurado, y una pieza instalada antes de que empezaran los registros cuenta desde la primera lectura posterior (entrada tardía). Un vehículo sin cambios registrados cuenta como si siguiera con su primera pieza',
    'basis-weibull':
      'Ley de Weibull por máxima verosimilitud; límites de 95 %: aproximación normal de los logaritmos, varianza de la información de Fisher observada (Meeker & Escobar 1998, capítulo 8)',
    'basis-survival':
      'Escalones de supervivencia: Kaplan & Meier (1958); límites de 95 % con la varianza de Greenwood en la escala log-log',
    'basis-goodness-of-fit':
      'Bondad de ajuste: χ² para vidas censuradas con parámetros estimados (Hjort 1990, Ann. Statist. 18, 1221)',
    'basis-goodness-cells':
      'χ² de las fallas observadas contra las esperadas en celdas de edad, con los dos parámetros estimados (Hjort 1990)',
    'basis-age-replacement': 'Costo y óptimo: cambio por edad (Barlow & Proschan 1965, sección 4.2)',
    'basis-optimum-band':
      'Rango del óptimo: 95 % por verosimilitud perfilada (Meeker & Escobar 1998, sección 8.3)',
    'basis-advice-refused':
      'No se recomienda nada con menos de {least, number} fallas, si el límite inferior de la forma no pasa de 1, si una falla no cuesta más, si el rango es más amplio que un factor de {factor, number} (práctica común) o si el óptimo queda más allá de la vida útil más larga (práctica común)',
    'advice-too-many-vehicles':
      'Indique una: más de {most, number} vehículos son demasiados para una sola consulta.',
    'advice-planned-cost-missing': 'Falta: failureCost necesita plannedCost a su lado.',
    'advice-failure-cost-missing': 'Falta: plannedCost necesita failureCost a su lado.',
    // visit-plans
    'plan-range-exchanged': '{to} es anterior a from, {from}. ¿Se intercambiaron las dos fechas?',
    'plan-begins-in-past': '{from} ya pasó. El primer día que se puede planear es hoy, {today}.',
    'plan-too-long':
      'El plan llegaría hasta {to}, es decir, {days, plural, one {# día} other {# días}}. Un plan tiene {most, number} días como máximo: puede llegar hasta {latest}.',
    'plan-names-no-depot': 'No nombra ningún patio. Omita depotIds para planear todos.',
    'plan-depot-unknown': 'No existe ese patio en esta flota.',
    'plan-too-many-waiting':
      'Esta flota tiene {present, plural, one {# plan de visitas} other {# planes de visitas}} en espera de resolverse y puede tener {limit, number}. Intente de nuevo cuando se resuelva uno, lo que toma hasta {seconds, plural, one {# segundo} other {# segundos}}, o elimine uno que no necesite.',
    'plan-is-past': 'El plan terminó el {to}, que ya pasó. Pida otro.',
    'plan-confirmed-already':
      'Este plan se confirmó el {at}. Ahora sus visitas existen por sí mismas: cancele las que no quiera y pida otro plan.',
    'plan-failed': 'Este plan falló. {problem} No tiene nada que cambiar.',
    'plan-failed-unexplained': 'Este plan falló. No tiene nada que cambiar.',
    'plan-still-being-solved': 'Este plan todavía se está resolviendo. Espere a que su estado sea solved.',
    'plan-nothing-to-confirm':
      'No hay nada que confirmar: el plan no tiene visitas, o todas están descartadas.',
    'plan-nothing-confirmable':
      'Ya no se puede confirmar ninguna de las visitas. {reason} Resuelva el plan otra vez.',
    'plan-hours-taken':
      'Ya hay más trabajo que mano de obra: {days}{more, plural, =0 {} one {, y # día más} other {, y # días más}}. Resuelva el plan otra vez, o mueva o descarte visitas.',
    'plan-hours-short': '{day} en {depot} ({taken, number} h de {limit, number} h)',
    'plan-too-many-lines':
      'Más de {most, number} trabajos tocan a más tardar el {to}. Planee menos patios a la vez, o menos días.',
    'plan-given-up':
      'El servicio lo empezó {times, plural, one {# vez} other {# veces}} y nunca lo terminó. Planee menos patios a la vez, o menos días.',
    'solver-time-over': 'Se acabó el tiempo para resolver.',
    'solver-stopped-at': 'El cálculo se detuvo con el estado "{status}".',
    'solver-overran': 'El cálculo se pasó de su tiempo.',
    'solver-service-stopping': 'El servicio se está deteniendo.',
    'solver-too-many-choices': 'Hay demasiados trabajos y días para el cálculo.',
    'solver-found-nothing': 'El cálculo no encontró ningún plan.',
    'solver-broke-down': 'El cálculo se interrumpió: {report}',
    'visit-left-no-depot': 'Su vehículo no está en ningún patio, así que no hay a dónde traerlo.',
    'visit-left-depot-closed': 'El patio está cerrado durante un año o más.',
    'visit-left-other-visit': 'Ya se confirmó para esto una visita el {on}.',
    'visit-left-done-since': 'Se hizo el {on}, después de resolver el plan.',
    'visit-left-not-due': 'Ya no toca.',
    'visit-left-vehicle-moved': 'Su vehículo salió del patio donde se planeó la visita.',
    'visit-left-day-past': 'El día de la visita, {day}, ya pasó.',
    'visit-day-outside-plan': '{day} está fuera del plan, que va del {from} al {to}.',
    'visit-day-past': '{day} ya pasó. Hoy es {today}.',
    'visit-day-not-worked':
      '{day} es {weekday, select, monday {lunes} tuesday {martes} wednesday {miércoles} thursday {jueves} friday {viernes} saturday {sábado} other {domingo}}, y {depot} no trabaja ese día de la semana.',
    'visit-day-depot-closed': '{depot} está cerrado el {day}.',
    'visit-day-before-window':
      '{day} es demasiado pronto. La ventana de servicio de este trabajo ({work}) se abre el {opens}. Es el primer día posible para esta visita.',
    'visit-day-full':
      'El {day} ya están ocupadas {taken, number} h de las {limit, number} h de mano de obra en {depot}. Esta visita requiere {hours, number} h.',
    'visit-moved-is-pinned':
      'Una visita que se mueve queda fija en su nuevo día; si no, al resolver otra vez regresaría. Omita pinned o póngalo en true.',
    'visit-moved-and-dropped':
      'Una visita descartada no tiene otro día. Indique day o dropped, uno de los dos.',
    'visit-pinned-and-dropped': 'Una visita descartada no puede quedar fija. Indique uno de los dos.',
    // job-reports
    // imports
    // attachments
    // spec-sheets
    // interval-plans
    'interval-listed-twice': 'Este trabajo ({work}) está dos veces en el plan. Ya está en {earlier}.',
    'interval-limits-empty': 'Está vacío. Indique everyDistance, everyMonths o everyEngineHours.',
    'interval-severe-longer':
      '{severe} es más largo que {normal}, el intervalo de uso normal. ¿Se intercambiaron los dos?',
    'interval-severe-longer-months':
      '{severe, plural, one {# mes} other {# meses}} es más largo que {normal, plural, one {# mes} other {# meses}}, el intervalo de uso normal. ¿Se intercambiaron los dos?',
    'interval-margin-too-long':
      '{margin} es tan largo como el propio intervalo de {interval}. Indique menos.',
    'interval-margin-too-long-days':
      '{days, plural, one {# día} other {# días}} es tan largo como el propio intervalo de {months, plural, one {# mes} other {# meses}}. Indique menos.',
    // vehicles-register
    // depots
    // fleets
    // tokens
    // audit
    // access
    // problems
    // fields
    // http
    // csv
    // queue
    // commands
    // board
  },
};
