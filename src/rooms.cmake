# All sources, room by room, without their ending: a test holds these lists against the folders.

# sources(OUT FOLDER NAME...): the paths of NAME.cpp in that folder.
function(sources out folder)
  list(TRANSFORM ARGN PREPEND ${folder}/)
  list(TRANSFORM ARGN APPEND .cpp)
  set(${out} ${ARGN} PARENT_SCOPE)
endfunction()

# room(NAME SOURCE...): a library that may use those of the rooms above it.
set(rooms)
set(earlier)
macro(room name)
  sources(files src/${name} ${ARGN})
  add_library(tracehold_${name} STATIC ${files})
  target_link_libraries(tracehold_${name} PUBLIC tracehold_settings ${fmt} ${earlier} PRIVATE Eigen3::Eigen)
  list(APPEND rooms ${name})
  list(PREPEND earlier tracehold_${name})
endmacro()

# In their order; simulate stands beside and uses those up to read.
room(core civil_time error json_fields keyed_hash memory nearest_name number_text sha256 side_by_side units utf8)
room(statistics agreement binomial clustered_proportion distributions kendall_null mann_kendall proportions run_chart
  summary theil_sen xmr_chart)
room(plan check_plan follows_plan plan read_plan replace_threshold)
room(read corrections csv_cells csv_channels csv_clock csv_clock_change csv_columns csv_dialect csv_layout csv_plain_rows
  csv_recording csv_rows csv_sayings csv_times decimal edf_annotations edf_channels edf_field edf_header edf_identity edf_notes
  edf_recording edf_samples edf_timeline listed_file named_cells read_bytes read_recording recording sessions_list signal_kind table text_cell
  text_encoding time_stamp voltage_unit)
room(simulate check_scenario effort exported_envelope faults muscle_noise plain_math random_stream read_scenario
  scenario session simulate_recording truth truth_json)
room(clean beat_times block_spectra block_transform broadband butterworth clean_recording copies findings flattened frames half_seconds heart_beats hum_steps left_hum line_blocks
  line_smoother mains motion open_hum plausible prefilter ranges rectified repeating spikes stuck welch zero_phase)
room(envelope follow_envelope levels moving_rms)
room(cycles align_plan beginnings contraction_evidence correct_cycles cue_shift cues_from_marks cues_from_start cycles exported_energies find_cycles level_trace match_plan mdct
  onset_levels onset_posterior onset_rest onset_starts onset_windows place_contractions rest_variation rise_model
  rise_model_prior status)
room(measures absent_contractions accessory amplitude bandwidth contrast crosstalk cue_fit cued_windows cycle_view endurance inspection late_release level_doubts levels line list
  muscle_seen possible_range reference rest rest_steps same_numbers score_session session_summary spectrum steadiness threshold timing window)
room(identity hide identity plain_words)
room(course adherence admit_sessions change chart_course course course_measures course_terms day_values figure_text
  follow_dose measurement_error neighbouring_days other_versions people phases questions rules statement_text trend)
room(audit audit_flow audit_measures audit_service audit_tally hide_audit measure_rows person_figures pool_groups suppress
  tables)
room(report en/session_terms audit_figures audit_report audit_tables audit_text axis_ticks before_after_figure calendar_table
  compose_session_report course_attendance course_definitions course_parts course_report course_tables doubts figure_data home_sheet
  html_blocks html_figures html_page html_text inspection_report limits_and_cautions local_text markdown_text
  measures_figure overlay overlay_figure overview page_style page_words patient_course_report patient_goals
  patient_sections patient_session_report patient_tally phase_figure quantity referrer_course_report referrer_parts
  referrer_session_report render_markdown render_text session_brief session_cycles session_figure session_making
  session_sections session_signal spectrum_figure svg_chart svg_key svg_path svg_trace text_picture text_table
  text_width verdict words wrap_text)
room(exchange audit_csv audit_json compare_results course_csv course_json csv_cell edf_text fhir_bundle fhir_codes
  fhir_components fhir_course fhir_parts fhir_session inspection_json json_text plan_json possible_values quality_json read_session_json read_session_results
  recording_csv recording_edf result_splitter schema_audit schema_beside schema_course schema_inspection schema_parts schema_plan
  schema_rules schema_session schema_tables schema_text scored_events session_csv session_json validation_json)

foreach(room core plan course exchange simulate)
  target_link_libraries(tracehold_${room} PRIVATE nlohmann_json::nlohmann_json)
endforeach()
target_link_libraries(tracehold_core PUBLIC Threads::Threads PRIVATE ${nettle_LDFLAGS})  # by name: the static program takes the archive
add_library(tracehold_core_all INTERFACE)
target_link_libraries(tracehold_core_all INTERFACE ${earlier})

sources(files src/app audit_command audit_inputs byte_source choose_channel command_line commands_that_make
  commands_that_score console copies course_command dry_run explain_command export_command files_told hidden_identities inputs
  inspect_command kept_files key_command key_file message_names option_readers output pages pipeline plan_command process
  progress published_checks recording_checks recordings_now result_folder run schema_command score_command selfcheck_command
  sessions_index shard shared_options sheet_command simulate_command stop_signal the_program threshold_attempts
  threshold_command today verify_command)
add_library(tracehold_app STATIC ${files})
target_link_libraries(tracehold_app PUBLIC tracehold_core_all PRIVATE CLI11::CLI11)
set_source_files_properties(src/app/command_line.cpp PROPERTIES COMPILE_DEFINITIONS "TRACEHOLD_LIBRARIES=\"CLI11 ${CLI11_VERSION}, Eigen \
${Eigen3_VERSION}, fmt ${fmt_VERSION}, nlohmann-json ${nlohmann_json_VERSION}, nettle ${nettle_VERSION}\"")

# The manual and the completions, made from the commands and measures themselves.
sources(files src/manual commands commands_page completions formats_page measures_page roff write_manual)
add_executable(write_manual ${files})
target_link_libraries(write_manual PRIVATE tracehold_app)
