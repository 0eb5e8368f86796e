#pragma once
// The limits and cautions that no page about a recording leaves without, in English.
#include <array>

namespace tracehold::words {

inline constexpr std::array kLimitsOfAPage = {
    "This page describes the electrical activity in the recording that was supplied. It does not diagnose, grade severity, measure "
        "force, or stand in for an examination.",
    "The figures depend on the electrode, where it lay, posture and processing. They compare only within one person, under the same "
        "conditions.",
    "A change smaller than the measurement error is no change shown.",
    "Decisions rest with the treating clinician. The program makes no claim to be a medical device; the rules of the place on "
        "devices, data protection, records and consent apply.",
};

inline constexpr char kCautionsFirst[] =
    "Local rules and licensed practice come before this list, which is common teaching without a single source.";
inline constexpr std::array kCautionsOfAPage = {
    "Electrode: for one person only, clean and dry as its supplier says, looked over for damage; stop at any allergic reaction "
        "(metal, latex, gel). Only with the clinician's word where there is infection, unexplained bleeding, an open lesion, recent "
        "surgery or birth, pregnancy, a severe prolapse, recent pelvic radiotherapy, where a person cannot consent or insert it, or for "
        "a child. Before anal use ask about haemorrhoids, fissure and inflammatory bowel disease.",
    "Recording: on battery or isolated supply; never while charging, bathing or with stimulation running. With an implanted cardiac "
        "or nerve device, ask the team that looks after it.",
    "Training: with pain, retention, straining or raised resting activity, relaxation is assessed before contractions are trained "
        "harder. No breath-holding, no bearing down.",
    "Stop and call for new or worse pain, bleeding that is not a period, fever or discharge, blood in the urine, trouble passing "
        "urine, a new bulge or something coming down, an allergic reaction or a broken device. New numbness, leg weakness, loss of "
        "bladder or bowel control, or passing no urine at all is an emergency.",
};

}  // namespace tracehold::words
