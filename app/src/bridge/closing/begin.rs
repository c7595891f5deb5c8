//! What a new day, job and load start with: what is keyed in now, the plan, and how such things are usually read.

use super::readings::{OF_PRODUCT, OF_VOLUME};
use crate::bridge::rig::{keyed_course, keyed_meter, keyed_pump};
use records::closing::DayView;
use records::rig::RigView;
use records::{Doc, DocId, FieldValue};
use units::{PulseConvention, Unit, format_decimal};

/// Path and stored text of each field of a new day with its first job.
pub(crate) fn day(rig: &DocId, view: &RigView) -> Vec<(String, String)> {
    let mut set = vec![
        ("rig".to_owned(), rig.to_string()),
        ("setup.pumps".to_owned(), format!(";;{}", view.pumps.len())),
    ];
    let mut put = |path: String, text: Option<String>| set.extend(text.map(|text| (path, text)));
    fn number<U: Unit>(keyed: Option<(f64, PulseConvention<U>)>) -> (Option<String>, Option<String>) {
        keyed.map(|(number, convention)| (plain(number), convention.code())).unzip()
    }
    let mut put_number = |at: String, (number, convention): (Option<String>, Option<String>)| {
        put(format!("{at}.number"), number);
        put(format!("{at}.convention"), convention);
    };
    put_number("setup.meter".to_owned(), number(keyed_meter(view).map(|k| (k.number, k.convention))));
    // From a wheel the console has the number as far as its step goes.
    let course = keyed_course(view);
    let course = course.map(|k| (k.step.map_or(k.number, |step| step.round(k.number)), k.convention));
    put_number("setup.course".to_owned(), number(course));
    for pump in &view.pumps {
        let keyed = keyed_pump(view, pump.n).map(|k| (k.number, k.convention));
        put_number(format!("setup.pump.{}", pump.n), number(keyed));
    }
    for pump in &view.pumps {
        put(format!("setup.pump.{}.name", pump.n), pump.name.clone());
        put(format!("setup.pump.{}.label_greatest", pump.n), stored(pump.label_greatest.value.as_ref()));
    }
    put("setup.width".to_owned(), view.boom_width().map(|width| format!(";m;{}", digits(width.as_m()))));
    put("setup.tank".to_owned(), stored(view.tank_volume.value.as_ref()));
    set.extend(job(Some(view)));
    set
}

/// Fields of a new job with its first load; the plan is the rig's.
pub(crate) fn job(view: Option<&RigView>) -> Vec<(String, String)> {
    let mut set = vec![
        ("job.+.by".to_owned(), "area".to_owned()),
        (load_path("+", "carrier.loaded.by"), first_code(true)),
    ];
    let Some(view) = view else { return set };
    let plan = |what: &str| format!("job.+.planned.{what}");
    set.extend(stored(view.carrier.rate.value.as_ref()).map(|text| (plan("carrier"), text)));
    for pump in &view.pumps {
        let text = stored(pump.first.value.as_ref());
        set.extend(text.map(|text| (plan(&format!("product.{}", pump.n)), text)));
    }
    set
}

/// Fields of a new load of a job: read as the last one was.
pub(crate) fn load(doc: &Doc, job: &str) -> Vec<(String, String)> {
    let day = DayView::read(doc);
    let last = day.jobs.iter().find(|j| j.key == job).and_then(|j| j.loads.last().copied());
    let mut set = vec![(load_path(job, "carrier.loaded.by"), first_code(true))];
    if let Some(last) = last {
        let from = format!("job.{job}.load.{last}.");
        for (path, text) in doc.texts() {
            if let Some(rest) = path.strip_prefix(&from).filter(|rest| rest.ends_with(".by")) {
                set.push((load_path(job, rest), text.to_owned()));
            }
        }
    }
    set
}

fn load_path(job: &str, rest: &str) -> String {
    format!("job.{job}.load.+.{rest}")
}

fn first_code(carrier: bool) -> String {
    let ways = if carrier { OF_VOLUME } else { OF_PRODUCT };
    ways.first().map(|way| way.code).unwrap_or_default().to_owned()
}

fn stored(value: Option<&FieldValue>) -> Option<String> {
    value.map(FieldValue::to_stored)
}

fn plain(number: f64) -> String {
    format!(";;{}", digits(number))
}

fn digits(number: f64) -> String {
    let long = format_decimal(number, 6);
    long.trim_end_matches('0').trim_end_matches('.').to_owned()
}
