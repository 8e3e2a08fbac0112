"""The well, its recovery test and its pump."""

from budget.declarations import Check, Refusal

INFLOW = [
    Check(
        "inflow",
        "Inflow known",
        "An inflow is typed, or a recovery test gives one.",
        "AND(well_there=1, NOT(ISNUMBER(well_inflow)), COUNT({recovery:depth.all})=0)",
        '"No inflow of the well is known: type it on Well, or a recovery test. Until then the well gives nothing."',
        "stop",
        Refusal("well.inflow", "missing", "{kind}, or a recovery test"),
    ),
    Check(
        "no_inflow",
        "Inflow above 0",
        "The inflow that is typed or tested is more than nothing.",
        "AND(well_there=1, OR(ISNUMBER(well_inflow), COUNT({recovery:depth.all})>0), ROUND(inflow, 9)<=0)",
        '"The inflow in use is 0, so the well gives nothing: look at the inflow, or at the recovery test, on Well."',
    ),
    Check(
        "recovery",
        "Recovery test",
        "Its water rises.",
        'AND(recovery_fault<>"", OR(NOT(ISNUMBER(well_depth_at_test)), ROUND(well_depth_at_test - well_depth, 6)<=0))',
        '"Well, recovery test: " & recovery_fault & ". It gives no inflow."',
        "stop",
        refuses=Refusal(
            "recovery", "", "depths that grow less after the pump stopped, two or more", cells="recovery_fault"
        ),
    ),
    Check(
        "recovery_rest",
        "Recovery below rest",
        "No reading after the pump stopped stands above the depth at rest.",
        'SUMPRODUCT(--({recovery_workings:said.all}="left out: at rest or above"))>0',
        '"A reading of the recovery test stands at or above the depth at rest: is that depth right? The inflow hangs'
        ' on it."',
    ),
    Check(
        "rest",
        "Depth at rest before the test",
        "It is typed where there is a recovery test.",
        "AND(well_there=1, COUNT({recovery:depth.all})>0, NOT(ISNUMBER(well_depth_at_test)))",
        '"The recovery test needs the depth to water at rest before it: type it on Well. Until then the wet-season'
        ' depth stands for it."',
        "stop",
        Refusal("well.depth_at_test", "missing beside a recovery test", "the depth to water at rest before it"),
    ),
    Check(
        "test_depth",
        "Water at the test above the bottom",
        "The depth to water at rest before the test is no more than the depth of the well.",
        "AND(well_there=1, ISNUMBER(well_depth_at_test), ROUND(well_depth_at_test - well_depth, 6)>0)",
        '"The depth to water when the inflow was measured, on Well, is deeper than the well: one of the two is wrong."',
        "stop",
        Refusal("well.depth_at_test", "{value} is deeper than {well_depth}", "at most well.depth"),
    ),
    Check(
        "inflow_differs",
        "Inflow typed and tested",
        "The inflow typed is that of the recovery test, to a third.",
        "AND(ISNUMBER(well_inflow), recovery_inflow>0, ABS(well_inflow - recovery_inflow)>recovery_inflow / 3)",
        '"The inflow typed on Well is used, but the recovery test there gives another: empty the one that is wrong."',
    ),
    Check(
        "recovery_line",
        "Recovery on a line",
        "Three readings count, and they lie on a line: r² of 0.98 or more.",
        'AND(NOT(ISNUMBER(well_inflow)), recovery_fault="", recovery_points>0,'
        " OR(recovery_points<3, recovery_fit<0.98))",
        '"The readings of the recovery test do not make a line that can be trusted: repeat it, with a reading every few'
        ' minutes."',
    ),
    Check(
        "readings",
        "Readings in order",
        "Every reading of the recovery test can be right.",
        'SUMPRODUCT(--({recovery_workings:fault.all}<>""))>0',
        '"A reading of the recovery test on Well needs mending: see beside it."',
        refuses=Refusal(
            "recovery",
            "",
            "minutes since the pump stopped, and a depth above the bottom of the well",
            cells="recovery_workings:fault",
        ),
    ),
]

PUMP = [
    Check(
        "intake",
        "Intake under water",
        "The allowed pumping depth lies below the wet-season water.",
        "AND(well_there=1, ROUND(allowed_pumping_depth - well_winter_depth, 6)<=0)",
        '"The allowed pumping depth on Well is above the water all year: the well gives nothing."',
        "stop",
        Refusal(
            "pump.intake",
            "{value} is never under water that the pump may take",
            "deeper than {well_winter_depth} plus {pump_submergence}, and a pump that can lift from there",
        ),
    ),
    Check(
        "intake_late",
        "Intake under late-summer water",
        "The allowed pumping depth lies below the late-summer water, or above the water all year.",
        "AND(well_there=1, ROUND(allowed_pumping_depth - well_winter_depth, 6)>0,"
        " ROUND(allowed_pumping_depth - well_summer_depth, 6)<=0)",
        '"The allowed pumping depth is above the late-summer water: the well gives nothing then."',
    ),
    Check(
        "bottom",
        "Intake above the bottom",
        "The intake hangs above the bottom of the well.",
        "AND(well_there=1, ROUND(pump_intake - well_depth, 6)>0)",
        '"The intake on Well is below the bottom of the well; the bottom is taken for it."',
        "stop",
        Refusal("pump.intake", "{value} is deeper than {well_depth}", "at most well.depth"),
    ),
    Check(
        "suction",
        "Suction lift",
        "The pump can lift from the depth of its intake.",
        'AND(pump_kind="suction", suction_limit - pump_height<pump_intake - pump_submergence)',
        '"The suction pump cannot lift from the depth of its intake: the practical lift sets the allowed depth."',
    ),
]
