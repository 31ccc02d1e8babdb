//! The fields of a job that go to the customer's file.

/// Who, what and when; every field may be empty.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Record {
    /// Workshop.
    pub workshop: String,
    /// Order number.
    pub order: String,
    /// The vehicle's own identification in the workshop (fleet number, plate).
    pub vehicle_id: String,
    /// Person who does the work.
    pub technician: String,
    /// Date, ISO 8601 (`2026-03-02`).
    pub date: String,
    /// Where the numbers came from: document and page of the service information.
    pub service_information: String,
    /// A free line.
    pub note: String,
}
