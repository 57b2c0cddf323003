//! Propeller, motor and driver of one draw.

use super::*;

impl<C: Chain> Run<'_, '_, C> {
    /// Propeller, motor and driver of this draw, in hover or at full command.
    pub(super) fn drive(&mut self, model: &DriveModel, full: bool) -> Drive {
        let situation = &self.model.situation;
        let (thrust_ln, power_ln) = if full {
            (self.of(model.full_thrust), self.of(model.full_power))
        } else {
            (0.0, 0.0)
        };
        let free_thrust = self.of(model.thrust_coefficient);
        let free_power = match model.goodness {
            Goodness::FigureOfMerit(merit) => propeller::power_coefficient(
                free_thrust,
                self.of(merit) * self.of(model.duct_factor),
            ),
            Goodness::FollowsThrust {
                merit,
                thrust_middle,
                exponent,
            } => {
                let merit = self.of(merit) * (free_thrust / thrust_middle).powf(exponent);
                propeller::power_coefficient(
                    free_thrust,
                    merit.min(BEST_MERIT) * self.of(model.duct_factor),
                )
            }
            Goodness::PowerCoefficient(power) => self.of(power),
        };
        let thrust_coefficient = free_thrust
            * self.of(model.installed_thrust)
            * (thrust_ln + self.of(situation.thrust_change)).exp();
        let power_coefficient = free_power * (power_ln + self.of(situation.power_change)).exp();
        let propeller = Propeller {
            diameter: Length::metres(model.diameter_m),
            thrust_coefficient,
            power_coefficient,
            reference: RotationSpeed::radians_per_second(model.reference_rad_s),
            thrust_exponent: self.of(model.thrust_exponent),
            power_exponent: self.of(model.power_exponent),
        };
        let rise = self.of(if full {
            model.full_rise
        } else {
            model.hover_rise
        });
        let cold = self.motor(model);
        let motor = cold.warmed_to(Temperature::kelvins(self.of(situation.air) + rise));
        let efficiency = self.of(if full {
            model.full_efficiency
        } else {
            model.hover_efficiency
        });
        if !full {
            self.note_propeller(
                model,
                (free_thrust, free_power),
                (thrust_coefficient, power_coefficient),
            );
            self.note_motor(model, &cold, &motor);
        }
        Drive {
            rotors: model.rotors,
            propeller,
            motor,
            esc_efficiency: efficiency,
        }
    }

    pub(super) fn motor(&self, model: &DriveModel) -> Motor {
        let kv = VelocityConstant::radians_per_second_volt(self.of(model.kv));
        let mass = model
            .motor_mass
            .map(|mass| quantity::Mass::kilograms(self.of(mass)));
        let winding_ohm = match (model.winding, mass) {
            (Class::Typical(factor), Some(mass)) => {
                flight::typical::drive_resistance(mass, kv)
                    .quantity
                    .value
                    .in_ohms()
                    * self.of(factor)
            }
            (Class::Own(own) | Class::Typical(own), _) => self.of(own),
        };
        let volts = Voltage::volts(model.no_load_volts);
        let no_load_a = match (model.no_load, mass) {
            (Class::Typical(factor), Some(mass)) => {
                flight::typical::no_load_current(mass, kv, volts)
                    .quantity
                    .value
                    .in_amperes()
                    * self.of(factor)
            }
            (Class::Own(own) | Class::Typical(own), _) => self.of(own),
        };
        let line = flight::typical::no_load_line(Current::amperes(no_load_a), volts);
        Motor {
            velocity_constant: kv,
            resistance: Resistance::ohms(winding_ohm),
            no_load_current: line.at_rest,
            no_load_slope_a_per_v: line.slope_a_per_v,
        }
    }
}
